#pragma once
// Quantities as people write and read them: "2.4 m", "25cm", "5000 L", "90 s". A quantity without a unit is
// refused. Numbers are read and printed with a dot whatever the locale says (std::from_chars, std::to_chars).

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/time.hpp"

#include <string>
#include <string_view>
#include <variant>

namespace stillwell {

// Each accepts one kind of quantity; the failure names the units that would do.
Result<Metres> parse_length(std::string_view text);               ///< mm cm m
Result<Litres> parse_volume(std::string_view text);               ///< L m3
Result<Duration> parse_duration(std::string_view text);           ///< ms s min h d
Result<Celsius> parse_temperature(std::string_view text);         ///< degC
Result<Percent> parse_percent(std::string_view text);             ///< %
Result<MetresPerSecond> parse_level_rate(std::string_view text);  ///< mm/min
Result<LitresPerSecond> parse_flow(std::string_view text);        ///< L/min L/h m3/h
Result<Degrees> parse_angle(std::string_view text);               ///< deg
Result<Watts> parse_power(std::string_view text);                 ///< W kW
Result<Amperes> parse_current(std::string_view text);             ///< A mA
Result<Pascals> parse_pressure(std::string_view text);            ///< kPa mbar
Result<PerHour> parse_per_hour(std::string_view text);            ///< /h

/// What a motor takes may be given as its power or as its current.
using Load = std::variant<Watts, Amperes>;
Result<Load> parse_load(std::string_view text);  ///< W kW A mA

/// A set point may be given as a share of the tank, as a level or as a contents.
using SetPoint = std::variant<Percent, Metres, Litres>;
Result<SetPoint> parse_set_point(std::string_view text);  ///< % mm cm m L m3

/// A bare number, complete, finite and within double's range; nothing else around it.
Result<double> parse_number(std::string_view text);

/// The shortest form that reads back as exactly the same number ("0.1", "1e-07").
std::string shortest(double value);
/// A fixed count of decimals ("1.742"); never "-0.0".
std::string fixed(double value, int decimals);

std::string to_text(Metres value);           ///< "1.742 m"
std::string to_text(Litres value);           ///< "3480 L"
std::string to_text(Percent value);          ///< "58.1 %"
std::string to_text(Celsius value);          ///< "15.0 degC"
std::string to_text(Duration value);         ///< "250 ms", "90 s", "2 min 30 s", "2 h 5 min"
std::string to_text(LitresPerSecond value);  ///< "60.0 L/min"
std::string to_text(MetresPerSecond value);  ///< "60.0 mm/min"

}  // namespace stillwell
