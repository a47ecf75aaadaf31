#include "stillwell/config/kinds.hpp"

#include <array>
#include <cstddef>

namespace stillwell::config {
namespace {

constexpr std::array<std::string_view, 3> kLengthUnits{"mm", "cm", "m"};
constexpr std::array<std::string_view, 2> kVolumeUnits{"L", "m3"};
constexpr std::array<std::string_view, 5> kTimeUnits{"ms", "s", "min", "h", "d"};
constexpr std::array<std::string_view, 3> kFlowUnits{"L/min", "L/h", "m3/h"};
constexpr std::array<std::string_view, 1> kLevelRateUnits{"mm/min"};
constexpr std::array<std::string_view, 1> kAngleUnits{"deg"};
constexpr std::array<std::string_view, 6> kSetPointUnits{"%", "mm", "cm", "m", "L", "m3"};
constexpr std::array<std::string_view, 1> kTemperatureUnits{"degC"};
constexpr std::array<std::string_view, 1> kPercentUnits{"%"};
constexpr std::array<std::string_view, 2> kPressureUnits{"kPa", "mbar"};
constexpr std::array<std::string_view, 2> kPowerUnits{"W", "kW"};
constexpr std::array<std::string_view, 4> kLoadUnits{"W", "kW", "A", "mA"};
constexpr std::array<std::string_view, 1> kPerHourUnits{"/h"};

constexpr auto kString = Written::string;
constexpr std::array kKindRows{
    KindRow{Kind::text, kString, "text", "a text"},
    KindRow{Kind::id, kString, "id", "an id of a-z, 0-9 and - (not at its ends)",
            "[a-z0-9]([a-z0-9-]*[a-z0-9])?"},
    KindRow{Kind::path, kString, "path", "an absolute path", "/.+"},
    KindRow{Kind::expanded_path, kString, "expanded-path", "an absolute path or one that begins with ${NAME}",
            "(/|\\$\\{[A-Za-z_][A-Za-z0-9_]*\\}).*"},
    KindRow{Kind::file, kString, "file",
            "a file name, relative to the folder of the configuration or absolute"},
    KindRow{Kind::url, kString, "url", "mqtt://HOST, mqtts://HOST or either with :PORT",
            "mqtts?://(\\[[0-9a-fA-F:]+\\]|[A-Za-z0-9]([A-Za-z0-9.-]*[A-Za-z0-9])?)(:[1-9][0-9]{0,4})?"},
    KindRow{Kind::topic, kString, "topic", "an MQTT topic such as hub/status",
            "[A-Za-z0-9_-]+(/[A-Za-z0-9_-]+)*"},
    KindRow{Kind::host_port, kString, "host-port", "a host or HOST:PORT such as 192.0.2.7:502",
            "(\\[[0-9a-fA-F:]+\\]|[A-Za-z0-9]([A-Za-z0-9.-]*[A-Za-z0-9])?)(:[1-9][0-9]{0,4})?"},
    KindRow{Kind::timezone, kString, "timezone", "a time zone such as Europe/Lisbon",
            "[A-Za-z][A-Za-z0-9_+-]*(/[A-Za-z0-9_+-]+){0,2}"},
    KindRow{Kind::serial, kString, "serial", "a speed, data bits, parity and stop bits such as 9600 8N1",
            "[1-9][0-9]{2,6} [78][NEO][12]"},
    KindRow{Kind::length, kString, "length", "a length such as 2.4 m", {}, kLengthUnits},
    KindRow{Kind::volume, kString, "volume", "a volume such as 5000 L", {}, kVolumeUnits},
    KindRow{Kind::duration, kString, "duration", "a time such as 90 s", {}, kTimeUnits},
    KindRow{Kind::flow, kString, "flow", "a flow such as 60 L/min", {}, kFlowUnits},
    KindRow{Kind::level_rate, kString, "level-rate", "a speed such as 60 mm/min", {}, kLevelRateUnits},
    KindRow{
        Kind::temperature, kString, "temperature", "a temperature such as 15 degC", {}, kTemperatureUnits},
    KindRow{Kind::angle, kString, "angle", "an angle such as 14 deg", {}, kAngleUnits},
    KindRow{Kind::percent, kString, "percent", "a share such as 60 %", {}, kPercentUnits},
    KindRow{Kind::pressure, kString, "pressure", "a pressure such as 25 kPa", {}, kPressureUnits},
    KindRow{Kind::power, kString, "power", "a power such as 1.1 kW", {}, kPowerUnits},
    KindRow{Kind::load, kString, "load", "a power or a current such as 350 W or 1.8 A", {}, kLoadUnits},
    KindRow{Kind::per_hour, kString, "per-hour", "how often at most, such as 10/h", {}, kPerHourUnits},
    KindRow{Kind::set_point,
            kString,
            "set-point",
            "a share, a level or a contents such as 15 %, 25 cm or 800 L",
            {},
            kSetPointUnits},
    KindRow{Kind::length_count,
            kString,
            "length-count",
            "what one count is worth, such as mm or 0.1 mm",
            {},
            kLengthUnits,
            true},
    KindRow{Kind::temperature_count,
            kString,
            "temperature-count",
            "what one count is worth, such as 0.1 degC",
            {},
            kTemperatureUnits,
            true},
    KindRow{Kind::percent_count,
            kString,
            "percent-count",
            "what one count is worth, such as 0.1 %",
            {},
            kPercentUnits,
            true},
    KindRow{Kind::pressure_count,
            kString,
            "pressure-count",
            "what one count is worth, such as kPa or 0.1 mbar",
            {},
            kPressureUnits,
            true},
    KindRow{Kind::load_count,
            kString,
            "load-count",
            "what one count is worth, such as W or 0.01 A",
            {},
            kLoadUnits,
            true},
    KindRow{Kind::integer, Written::integer, "integer", "a whole number"},
    KindRow{Kind::number, Written::number, "number", "a number"},
    KindRow{Kind::byte, Written::integer, "byte", "a byte such as 0x55 or 85"},
    KindRow{Kind::bits, Written::integer, "bits", "bits such as 0x0003 or 3"},
    KindRow{Kind::flag, Written::boolean, "flag", "true or false"},
    KindRow{Kind::word, kString, "word", "a word"},
    KindRow{Kind::reference, kString, "reference", "an id"},
    KindRow{Kind::window, kString, "window", "a window of the day such as \"22:00-06:00\"",
            "([01][0-9]|2[0-3]):[0-5][0-9]-(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)"},
};

constexpr bool is_in_order() {
  for (std::size_t i = 0; i < kKindRows.size(); ++i) {
    if (static_cast<std::size_t>(kKindRows.at(i).kind) != i) return false;
  }
  return true;
}
static_assert(is_in_order(), "a row of every kind, in the order of Kind");

}  // namespace

const KindRow& row_of(Kind kind) {
  return kKindRows.at(static_cast<std::size_t>(kind));
}

std::string pattern_of(Kind kind) {
  const KindRow& row = row_of(kind);
  if (row.units.empty()) return row.pattern.empty() ? std::string{} : "^" + std::string(row.pattern) + "$";
  std::string units;
  for (const std::string_view unit : row.units)
    units += (units.empty() ? "" : "|") + std::string(unit);
  // The numbers that std::from_chars reads.
  const std::string number = "-?([0-9]+\\.?[0-9]*|\\.[0-9]+)([eE][-+]?[0-9]+)? ?";
  return "^" + (row.number_optional ? "(" + number + ")?" : number) + "(" + units + ")$";
}

std::string expectation(const Key& key) {
  if (key.section != nullptr && key.section->form != Form::map) return expected_form(*key.section);
  if (key.section != nullptr) return "a map of keys";
  if (key.kind == Kind::word) {
    std::string text;
    for (const std::string_view word : key.words)
      text += (text.empty() ? "" : " or ") + std::string(word);
    return text;
  }
  std::string text(row_of(key.kind).expects);
  if (key.kind == Kind::reference) text = "the id of one of the " + std::string(key.refers);
  for (const std::string_view word : key.kind == Kind::reference ? key.words : Words{})
    text += " or " + std::string(word);
  return key.least.empty() ? text : text + " (" + limits_of(key) + ")";
}

std::string expected_form(const Section& section) {
  std::string names;
  for (const Key& key : section.keys)
    names += (names.empty() ? "" : ", ") + std::string(key.name);
  switch (section.form) {
    case Form::map: return "a map of keys (" + names + ")";
    case Form::map_or_word: return "a word or a map of keys (" + names + ")";
    case Form::row: return "a list [" + names + "]";
  }
  return {};
}

std::string limits_of(const Key& key) {
  if (key.most.empty()) return "at least " + std::string(key.least);
  return std::string(key.least) + " to " + std::string(key.most);
}

}  // namespace stillwell::config
