#include "stillwell/config/value.hpp"

#include "stillwell/config/broker_url.hpp"
#include "stillwell/config/decimal_comma.hpp"
#include "stillwell/config/host_port.hpp"
#include "stillwell/config/near_miss.hpp"
#include "stillwell/config/serial_speed.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <map>
#include <regex>

namespace stillwell::config {
namespace {

std::string in_quotes(std::string_view text) {
  return "'" + std::string(text) + "'";
}

Failure no_such(const Key& key, std::string_view text) {
  return Failure{in_quotes(text) + " is not " + std::string(row_of(key.kind).expects)};
}

template <class T>
Result<Value> as_value(const Result<T>& parsed) {
  if (!parsed) return Failure{parsed.error()};
  return Value{*parsed};
}

/// Of a text that does not look like its kind.
Failure misfit(const Key& key, std::string_view text) {
  const bool speed_alone = key.kind == Kind::serial && !text.empty() &&
                           text.find_first_not_of("0123456789") == std::string_view::npos;
  if (!speed_alone) return no_such(key, text);
  return Failure{in_quotes(text) + " is the speed alone; write " + std::string(text) +
                 " 8N1, or with the data bits, parity and stop bits that the instrument's manual gives"};
}

Failure leading_zero_in(std::string_view text) {
  const std::size_t first = std::min(text.find_first_not_of('0'), text.size() - 1);
  return Failure{in_quotes(text) +
                 " is not a whole number: one that begins with 0 is octal to some programs; write " +
                 std::string(text.substr(first))};
}

Result<Value> parse_integer(const Key& key, std::string_view text) {
  const bool is_hex = (key.kind == Kind::byte || key.kind == Kind::bits) && text.starts_with("0x");
  const std::string_view digits = is_hex ? text.substr(2) : text;
  std::int64_t number = 0;
  const auto [end, error] =
      std::from_chars(digits.data(), digits.data() + digits.size(), number, is_hex ? 16 : 10);
  const bool is_whole = error == std::errc{} && end == digits.data() + digits.size();
  if (!is_whole || (is_hex && number < 0)) return no_such(key, text);
  if (!is_hex && digits.size() > 1 && digits.starts_with('0')) return leading_zero_in(text);
  return Value{number};
}

Result<Value> parse_real(const Key& key, std::string_view text) {
  const auto number = parse_number(text);
  if (!number) return no_such(key, text);
  return Value{*number};
}

Result<Value> parse_word(const Key& key, std::string_view text) {
  if (std::find(key.words.begin(), key.words.end(), text) != key.words.end()) return Value{std::string(text)};
  return Failure{in_quotes(text) + " is not a word for this; " + suggestion(text, key.words)};
}

Result<Value> parse_watts_or_amperes(std::string_view text) {
  const auto load = parse_load(text);
  if (!load) return Failure{load.error()};
  return std::visit([](const auto& one) { return Value{one}; }, *load);
}

/// "mm" is one of them; "0.1 mm" a tenth.
std::string with_number(std::string_view count) {
  const bool has_number = !count.empty() && (count.front() == '.' || count.front() == '-' ||
                                             (count.front() >= '0' && count.front() <= '9'));
  return has_number ? std::string(count) : "1 " + std::string(count);
}

Result<Value> parse_window(std::string_view text) {
  const auto number = [&](std::size_t at) { return (text[at] - '0') * 10 + (text[at + 1] - '0'); };
  const DayWindow window{number(0) * 60 + number(3), number(6) * 60 + number(9)};
  if (window.from == window.to) return Failure{in_quotes(text) + " is empty: it begins when it ends"};
  return Value{window};
}

Result<Value> parse_text(const Key& key, std::string_view text) {
  if (text.empty()) return no_such(key, text);
  const bool has_control = std::any_of(
      text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; });
  if (has_control) return Failure{"a text may not contain line breaks or control characters"};
  const bool is_expanded = key.kind == Kind::expanded_path || key.kind == Kind::file;
  if (!is_expanded && text.find("${") != std::string_view::npos) {
    return Failure{"variables are replaced in ca, cert, key and *_file only; write the value out"};
  }
  return Value{std::string(text)};
}

Result<Value> parse_kind(const Key& key, std::string_view text) {
  switch (key.kind) {
    case Kind::length: return as_value(parse_length(text));
    case Kind::volume: return as_value(parse_volume(text));
    case Kind::duration: return as_value(parse_duration(text));
    case Kind::flow: return as_value(parse_flow(text));
    case Kind::level_rate: return as_value(parse_level_rate(text));
    case Kind::temperature: return as_value(parse_temperature(text));
    case Kind::angle: return as_value(parse_angle(text));
    case Kind::percent: return as_value(parse_percent(text));
    case Kind::pressure: return as_value(parse_pressure(text));
    case Kind::power: return as_value(parse_power(text));
    case Kind::load: return parse_watts_or_amperes(text);
    case Kind::per_hour: return as_value(parse_per_hour(text));
    case Kind::set_point: return as_value(parse_set_point(text));
    case Kind::length_count: return as_value(parse_length(with_number(text)));
    case Kind::temperature_count: return as_value(parse_temperature(with_number(text)));
    case Kind::percent_count: return as_value(parse_percent(with_number(text)));
    case Kind::pressure_count: return as_value(parse_pressure(with_number(text)));
    case Kind::load_count: return parse_watts_or_amperes(with_number(text));
    case Kind::integer:
    case Kind::byte:
    case Kind::bits: return parse_integer(key, text);
    case Kind::number: return parse_real(key, text);
    case Kind::flag:
      if (text == "true" || text == "false") return Value{text == "true"};
      return no_such(key, text);
    case Kind::word: return parse_word(key, text);
    case Kind::serial: return as_value(parse_serial_speed(text));
    case Kind::url:
      if (const auto url = parse_broker_url(text); !url) return Failure{url.error()};
      return Value{std::string(text)};
    case Kind::host_port: return as_value(parse_host_port(text));
    case Kind::window: return parse_window(text);
    case Kind::text:
    case Kind::id:
    case Kind::path:
    case Kind::expanded_path:
    case Kind::file:
    case Kind::topic:
    case Kind::timezone:
    case Kind::reference: return parse_text(key, text);
    case Kind::section:
    case Kind::named: break;
  }
  return Failure{"expected a map"};
}

/// What limits compare; NaN for kinds that have no order, so that no limit can hold them back.
double magnitude(const Value& value) {
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  return std::visit(
      [](const auto& v) -> double {
        using T = std::decay_t<decltype(v)>;
        if constexpr (std::is_same_v<T, std::int64_t>) return static_cast<double>(v);
        if constexpr (std::is_same_v<T, double>) return v;
        if constexpr (std::is_same_v<T, Duration>) return seconds_of(v);
        if constexpr (requires { v.value(); }) return v.value();
        return kNone;
      },
      value);
}

bool is_within(const Key& key, const Value& value) {
  const double number = magnitude(value);
  if (!key.least.empty() && number < magnitude(*parse_kind(key, key.least))) return false;
  return key.most.empty() || !(number > magnitude(*parse_kind(key, key.most)));
}

/// What a plain scalar would be under the core schema of YAML 1.2 (10.3.2) if it is not a text. JSON tools
/// and editors see it that way, so a text that looks like one of these must stand in quotes.
bool reads_as_no_text(const std::string& text) {
  static const std::regex kCore(
      "[-+]?(\\.[0-9]+|[0-9]+(\\.[0-9]*)?)([eE][-+]?[0-9]+)?|0x[0-9a-fA-F]+|0o[0-7]+|[-+]?\\.(inf|Inf|INF)|"
      "\\.(nan|NaN|NAN)|true|True|TRUE|false|False|FALSE");
  return std::regex_match(text, kCore);
}

/// Texts only: of quantities the parser knows better what is wrong.
bool fits_pattern(Kind kind, std::string_view text) {
  static const std::map<Kind, std::regex> kPatterns = [] {
    std::map<Kind, std::regex> patterns;
    for (int i = 0; i <= static_cast<int>(Kind::window); ++i) {
      const auto any = static_cast<Kind>(i);
      const std::string pattern = pattern_of(any);
      if (!pattern.empty() && row_of(any).units.empty()) patterns.emplace(any, pattern);
    }
    return patterns;
  }();
  const auto found = kPatterns.find(kind);
  return found == kPatterns.end() || std::regex_match(std::string(text), found->second);
}

std::string_view type_word(Item::Type type) {
  switch (type) {
    case Item::Type::nothing: return "nothing";
    case Item::Type::scalar: return "a single value";
    case Item::Type::list: return "a list";
    case Item::Type::map: return "a map";
  }
  return {};
}

}  // namespace

Result<Value> parse_value(const Key& key, std::string_view text) {
  if (text.size() > kLongestText) {
    return Failure{"longer than " + std::to_string(kLongestText) + " characters; expected " +
                   expectation(key)};
  }
  const bool has_point = key.kind == Kind::number || !row_of(key.kind).units.empty();
  if (has_point && with_point(text)) return Failure{about_comma(text)};
  if (!fits_pattern(key.kind, text)) return misfit(key, text);
  auto value = parse_kind(key, text);
  if (value && !is_within(key, *value)) {
    return Failure{in_quotes(text) + " is out of range; expected " + limits_of(key)};
  }
  return value;
}

Result<Value> read_value(const Key& key, const Item& item) {
  if (item.type != Item::Type::scalar) {
    return Failure{"expected " + expectation(key) + ", found " + std::string(type_word(item.type))};
  }
  const KindRow& row = row_of(key.kind);
  if (row.written != Written::string && item.quoted) {
    return Failure{"expected " + expectation(key) + " without quotes"};
  }
  const bool is_number_or_flag = row.written == Written::string && row.units.empty() && !item.quoted &&
                                 item.text.size() <= kLongestText && reads_as_no_text(item.text) &&
                                 fits_pattern(key.kind, item.text);  // otherwise quotes would be no remedy
  if (is_number_or_flag) {
    return Failure{in_quotes(item.text) + " reads as a number or a flag; expected " + expectation(key) +
                   ", in quotes if it is meant"};
  }
  return parse_value(key, item.text);
}

}  // namespace stillwell::config
