#include "stillwell/quantity/units.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <span>

namespace stillwell {
namespace {

/// A unit as written, and how many of the type's own unit it is worth.
struct Unit {
  std::string_view word;
  double worth;
};

constexpr std::array kLength{Unit{"mm", 1e-3}, Unit{"cm", 1e-2}, Unit{"m", 1.0}};
constexpr std::array kVolume{Unit{"L", 1.0}, Unit{"m3", 1000.0}};
constexpr std::array kTime{Unit{"ms", 1e6}, Unit{"s", 1e9}, Unit{"min", 60e9}, Unit{"h", 3600e9},
                           Unit{"d", 86400e9}};
constexpr std::array kTemperature{Unit{"degC", 1.0}};
constexpr std::array kPercent{Unit{"%", 1.0}};
constexpr std::array kLevelRate{Unit{"mm/min", 1e-3 / 60.0}};
constexpr std::array kFlow{Unit{"L/min", 1.0 / 60.0}, Unit{"L/h", 1.0 / 3600.0},
                           Unit{"m3/h", 1000.0 / 3600.0}};
constexpr std::array kAngle{Unit{"deg", 1.0}};
constexpr std::array kPower{Unit{"W", 1.0}, Unit{"kW", 1000.0}};
constexpr std::array kCurrent{Unit{"A", 1.0}, Unit{"mA", 1e-3}};
constexpr std::array kPressure{Unit{"kPa", 1000.0}, Unit{"mbar", 100.0}};
constexpr std::array kPerHour{Unit{"/h", 1.0}};

std::string listed(std::span<const Unit> units) {
  std::string text;
  for (const Unit& unit : units)
    text += (text.empty() ? "" : ", ") + std::string(unit.word);
  return text;
}

struct Written {
  double number;
  std::string_view unit;
};

/// Splits "2.4 m" into its number and its unit; at most one space may stand between them.
Result<Written> split(std::string_view text, std::string_view wanted_units) {
  double number = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{} || !std::isfinite(number)) {
    return Failure{"'" + std::string(text) +
                   "' does not begin with a number; expected a number and a unit (" +
                   std::string(wanted_units) + ")"};
  }
  std::string_view unit = text.substr(static_cast<std::size_t>(end - text.data()));
  if (unit.starts_with(' ')) unit.remove_prefix(1);
  if (unit.empty()) {
    return Failure{"'" + std::string(text) + "' has no unit; expected " + std::string(wanted_units)};
  }
  return Written{number, unit};
}

/// The value in the type's own unit.
Result<double> parse_in(std::string_view text, std::span<const Unit> units) {
  const auto written = split(text, listed(units));
  if (!written) return Failure{written.error()};
  for (const Unit& unit : units) {
    if (unit.word != written->unit) continue;
    const double value = written->number * unit.worth;
    if (std::isfinite(value)) return value;
    return Failure{"'" + std::string(text) + "' is too large to be a quantity"};
  }
  return Failure{"'" + std::string(written->unit) + "' is not a unit for this; expected " + listed(units)};
}

template <class Q>
Result<Q> parse_as(std::string_view text, std::span<const Unit> units) {
  const auto value = parse_in(text, units);
  if (!value) return Failure{value.error()};
  return Q{*value};
}

}  // namespace

Result<Metres> parse_length(std::string_view text) {
  return parse_as<Metres>(text, kLength);
}
Result<Litres> parse_volume(std::string_view text) {
  return parse_as<Litres>(text, kVolume);
}
Result<Celsius> parse_temperature(std::string_view text) {
  return parse_as<Celsius>(text, kTemperature);
}
Result<Percent> parse_percent(std::string_view text) {
  return parse_as<Percent>(text, kPercent);
}
Result<MetresPerSecond> parse_level_rate(std::string_view text) {
  return parse_as<MetresPerSecond>(text, kLevelRate);
}
Result<LitresPerSecond> parse_flow(std::string_view text) {
  return parse_as<LitresPerSecond>(text, kFlow);
}
Result<Degrees> parse_angle(std::string_view text) {
  return parse_as<Degrees>(text, kAngle);
}
Result<Watts> parse_power(std::string_view text) {
  return parse_as<Watts>(text, kPower);
}
Result<Amperes> parse_current(std::string_view text) {
  return parse_as<Amperes>(text, kCurrent);
}
Result<Pascals> parse_pressure(std::string_view text) {
  return parse_as<Pascals>(text, kPressure);
}
Result<PerHour> parse_per_hour(std::string_view text) {
  return parse_as<PerHour>(text, kPerHour);
}

Result<Duration> parse_duration(std::string_view text) {
  const auto nanoseconds = parse_in(text, kTime);
  if (!nanoseconds) return Failure{nanoseconds.error()};
  constexpr double kLongest = 3650.0 * 86400e9;  // ten years fit 64 bits of nanoseconds with room to spare
  if (std::abs(*nanoseconds) > kLongest)
    return Failure{"'" + std::string(text) + "' is longer than ten years"};
  return Duration{std::llround(*nanoseconds)};
}

Result<Load> parse_load(std::string_view text) {
  constexpr std::string_view kWanted = "W, kW, A, mA";
  const auto written = split(text, kWanted);
  if (!written) return Failure{written.error()};
  if (const auto power = parse_power(text)) return Load{*power};
  if (const auto current = parse_current(text)) return Load{*current};
  return Failure{"'" + std::string(written->unit) + "' is not a unit for a power or a current; expected " +
                 std::string(kWanted)};
}

Result<SetPoint> parse_set_point(std::string_view text) {
  constexpr std::string_view kWanted = "%, mm, cm, m, L, m3";
  const auto written = split(text, kWanted);
  if (!written) return Failure{written.error()};
  if (const auto percent = parse_percent(text)) return SetPoint{*percent};
  if (const auto length = parse_length(text)) return SetPoint{*length};
  if (const auto volume = parse_volume(text)) return SetPoint{*volume};
  return Failure{"'" + std::string(written->unit) + "' is not a unit for a set point; expected " +
                 std::string(kWanted)};
}

Result<double> parse_number(std::string_view text) {
  double number = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(number)) {
    return Failure{"'" + std::string(text) + "' is not a number"};
  }
  return number;
}

std::string shortest(double value) {
  std::array<char, 40> text{};
  const auto [end, error] = std::to_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} ? std::string(text.data(), end) : std::string{};
}

std::string fixed(double value, int decimals) {
  std::array<char, 400> text{};  // the longest finite double has 309 digits before the point
  const auto [end, error] =
      std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, decimals);
  if (error != std::errc{}) return {};
  std::string result(text.data(), end);
  const bool is_zero = result.find_first_not_of("-0.") == std::string::npos;
  return is_zero && result.starts_with('-') ? result.substr(1) : result;
}

std::string to_text(Metres value) {
  return fixed(value.value(), 3) + " m";
}
std::string to_text(Litres value) {
  return fixed(value.value(), 0) + " L";
}
std::string to_text(Percent value) {
  return fixed(value.value(), 1) + " %";
}
std::string to_text(Celsius value) {
  return fixed(value.value(), 1) + " degC";
}
std::string to_text(MetresPerSecond value) {
  return fixed(value.value() * 60e3, 1) + " mm/min";
}
std::string to_text(LitresPerSecond value) {
  return fixed(value.value() * 60.0, 1) + " L/min";
}

std::string to_text(Duration value) {
  using namespace std::chrono;
  if (value < 0ns) return "-" + to_text(-value);
  if (value < 1s) return fixed(seconds_of(value) * 1000.0, 0) + " ms";
  if (value < 2min) {
    const bool whole = value % 1s == 0ns;
    return fixed(seconds_of(value), whole ? 0 : 1) + " s";
  }
  const auto minutes_in_all = duration_cast<minutes>(value).count();
  if (minutes_in_all < 120) {
    const auto rest = duration_cast<seconds>(value % 1min).count();
    return std::to_string(minutes_in_all) + " min" + (rest == 0 ? "" : " " + std::to_string(rest) + " s");
  }
  const auto hours_in_all = minutes_in_all / 60;
  const auto rest = minutes_in_all % 60;
  if (hours_in_all >= 48)
    return std::to_string(hours_in_all / 24) + " d " + std::to_string(hours_in_all % 24) + " h";
  return std::to_string(hours_in_all) + " h" + (rest == 0 ? "" : " " + std::to_string(rest) + " min");
}

}  // namespace stillwell
