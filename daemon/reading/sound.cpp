#include "stillwell/reading/sound.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

constexpr double kZeroCelsius = 273.15;  // K

// Cramer's own statement for eq. 15 inside its range: better than 300 ppm.
constexpr double kCramerError = 300e-6;

// ISO's form against Cramer's in dry air at sea level: 0.05 %. The rest is room for CO2 above a still tank.
constexpr double kSimpleFormError = 0.001;

// Sound is faster in moist air by this share for each unit of vapour's mole fraction: (a3 + a4·t) / c of
// eq. 15 is 0.155 to 0.160, and a perfect-gas mixture saturated at 60 degC comes to 0.17.
constexpr double kVapourEffect = 0.17;

// A sensor says which temperature it assumes, not which formula: those in use differ by 0.05 %.
constexpr double kAssumptionError = 0.0005;

bool between(double value, double lowest, double highest) {
  return value >= lowest && value <= highest;
}

SoundSpeed without_humidity(MetresPerSecond speed, const Air& air) {
  const double saturated = vapour_fraction(air.temperature, Percent{100.0}, air.pressure);
  return {speed, kSimpleFormError + kVapourEffect * saturated, SoundFormula::temperature_only};
}

}  // namespace

double vapour_fraction(Celsius temperature, Percent humidity, Pascals pressure) {
  const double celsius = temperature.value();
  const double kelvin = celsius + kZeroCelsius;
  const double saturation =  // Pa
      std::exp(1.2378847e-5 * kelvin * kelvin - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin);
  const double enhancement = 1.00062 + 3.14e-8 * pressure.value() + 5.6e-7 * celsius * celsius;
  return humidity.value() / 100.0 * enhancement * saturation / pressure.value();
}

std::optional<MetresPerSecond> cramer_speed(Celsius temperature, double vapour, Pascals pressure,
                                            double carbon_dioxide) {
  const double t = temperature.value();
  const double p = pressure.value();
  const double w = vapour;
  const double c = carbon_dioxide;
  if (!between(t, 0.0, 30.0) || !between(p, 75e3, 102e3)) return {};
  if (!between(w, 0.0, 0.06) || !between(c, 0.0, 0.01)) return {};
  return MetresPerSecond{331.5024 + 0.603055 * t - 0.000528 * t * t +               //
                         (51.471935 + 0.1495874 * t - 0.000782 * t * t) * w +       //
                         (-1.82e-7 + 3.73e-8 * t - 2.93e-10 * t * t) * p +          //
                         (-85.20931 - 0.228525 * t + 5.91e-5 * t * t) * c -         //
                         2.835149 * w * w - 2.15e-13 * p * p + 29.179762 * c * c +  //
                         0.000486 * w * p * c};
}

std::optional<MetresPerSecond> simple_speed(Celsius temperature) {
  if (!between(temperature.value(), -40.0, 60.0)) return {};
  return MetresPerSecond{343.2 * std::sqrt((temperature.value() + kZeroCelsius) / 293.15)};
}

std::optional<SoundSpeed> speed_of_sound(const Air& air) {
  const auto simple = simple_speed(air.temperature);
  // 50 to 110 kPa: what barometers on the ground show, from 5500 m up to the Dead Sea.
  if (!simple || !between(air.pressure.value(), 50e3, 110e3)) return {};
  if (!air.humidity || !between(air.humidity->value(), 0.0, 100.0)) return without_humidity(*simple, air);
  const double vapour = vapour_fraction(air.temperature, *air.humidity, air.pressure);
  const auto speed = cramer_speed(air.temperature, vapour, air.pressure, air.carbon_dioxide);
  if (!speed) return without_humidity(*simple, air);
  return SoundSpeed{*speed, kCramerError, SoundFormula::cramer};
}

std::optional<CorrectedDistance> correct(Metres distance, Celsius assumed, const Air& air) {
  const auto reckoned = simple_speed(assumed);
  const auto real = speed_of_sound(air);
  if (!reckoned || !real || !std::isfinite(distance.value()) || distance < Metres{0.0}) return {};
  const Metres corrected = distance * (real->speed / *reckoned);
  return CorrectedDistance{corrected, corrected * (real->uncertainty + kAssumptionError), real->formula};
}

std::optional<Metres> doubt_without_air(Metres reported, Metres believed, Celsius assumed,
                                        TemperatureRange air) {
  if (!(air.lowest <= air.highest)) return {};
  const auto cold = correct(reported, assumed, {.temperature = air.lowest});
  const auto warm = correct(reported, assumed, {.temperature = air.highest});
  if (!cold || !warm) return {};
  const auto off = [believed](const CorrectedDistance& at) {
    return Metres{std::abs((at.distance - believed).value())} + at.uncertainty;
  };
  return std::max(off(*cold), off(*warm));
}

}  // namespace stillwell
