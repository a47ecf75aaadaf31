#pragma once
// The speed of sound in the air above the water, and what it does to a distance that an ultrasonic sensor
// worked out with a speed of its own: 0.17 % for each degree.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/reading/surroundings.hpp"

#include <cstdint>
#include <optional>

namespace stillwell {

struct Air {
  Celsius temperature{};
  std::optional<Percent> humidity;  ///< relative
  Pascals pressure = kStandardPressure;
  double carbon_dioxide = 400e-6;  ///< mole fraction
};

enum class SoundFormula : std::uint8_t {
  cramer,            ///< temperature, humidity, pressure and CO2
  temperature_only,  ///< ISO 9613-1, where humidity is unknown or Cramer's range is left
};

struct SoundSpeed {
  MetresPerSecond speed{};
  double uncertainty = 0.0;  ///< half width, as a share of the speed
  SoundFormula formula = SoundFormula::temperature_only;
};

/// Mole fraction of water vapour (CIPM-81/91: Davis R.S., Metrologia 29, 67-70, 1992).
double vapour_fraction(Celsius temperature, Percent humidity, Pascals pressure);

/// Cramer O., J. Acoust. Soc. Am. 93(5), 2510-2516 (1993), eq. 15, and only where he says that it holds:
/// 0..30 degC, 75..102 kPa, vapour to 0.06, CO2 to 0.01 (mole fractions). Empty elsewhere.
std::optional<MetresPerSecond> cramer_speed(Celsius temperature, double vapour, Pascals pressure,
                                            double carbon_dioxide);

/// ISO 9613-1:1993, formula (A.5): c = 343.2 m/s · √(T / 293.15 K). Empty outside -40..60 degC, where an air
/// temperature is a fault of its sensor rather than weather.
std::optional<MetresPerSecond> simple_speed(Celsius temperature);

/// The better of the two, and how far it may be wrong. Empty when the temperature or pressure is none.
std::optional<SoundSpeed> speed_of_sound(const Air& air);

struct CorrectedDistance {
  Metres distance{};
  Metres uncertainty{};  ///< half width, one side
  SoundFormula formula = SoundFormula::temperature_only;
};

/// The distance that a sensor, which reckons with air at `assumed`, would have given had it known the air.
/// Empty when the distance is negative or one of the numbers is none.
std::optional<CorrectedDistance> correct(Metres distance, Celsius assumed, const Air& air);

/// How far the distance that is believed may be wrong, one side, when the sensor reported `reported` and the
/// air may have any temperature within the range: the worse of its two ends, because the speed grows all the
/// way between them. Any humidity is covered. Empty for a range that is none or lies outside -40..60 degC.
std::optional<Metres> doubt_without_air(Metres reported, Metres believed, Celsius assumed,
                                        TemperatureRange air);

}  // namespace stillwell
