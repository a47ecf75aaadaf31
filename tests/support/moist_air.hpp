#pragma once
// The speed of sound from first principles, to hold the formulae under test against.

#include <cmath>

namespace support {

/// c of moist air as a mixture of perfect gases, saturated with vapour (Magnus form): good to 0.3 % at any
/// temperature here, and independent of Cramer's fit. Humidity as a share.
inline double perfect_gas_speed(double celsius, double humidity) {
  const double kelvin = celsius + 273.15;
  const double x = humidity * 611.2 * std::exp(17.62 * celsius / (243.12 + celsius)) / 101325.0;
  const double heat = 3.5 * (1.0 - x) + 4.04 * x;  // molar, at constant pressure, over R
  const double mass = 0.0289645 * (1.0 - x) + 0.0180153 * x;
  return std::sqrt(heat / (heat - 1.0) * 8.314462618 * kelvin / mass);
}

}  // namespace support
