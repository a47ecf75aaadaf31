#include "stillwell/report/command_payload.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/letters.hpp"

#include <algorithm>
#include <array>
#include <cstdio>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kLongestWord = 64;
constexpr std::size_t kLongestShelf = 512;
constexpr std::size_t kLongestExcerpt = 40;

bool is_id(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
  });
}

/// TANK/KIND: a pump has no stroke in its name, so that no pump is reset as if it were an alarm.
bool is_alarm(std::string_view text) {
  const auto stroke = text.find('/');
  return stroke != std::string_view::npos && is_id(text.substr(0, stroke)) && is_id(text.substr(stroke + 1));
}

Failure expected(const char* what, std::string_view payload) {
  return Failure{std::string{"expected "} + what + ", found " + excerpt(payload)};
}

Result<Command> with_mode(Command command, std::string_view payload) {
  if (payload != to_word(Mode::automatic) && payload != to_word(Mode::hand) && payload != to_word(Mode::off))
    return expected("auto, hand or off", payload);
  command.argument = payload;
  return command;
}

Result<Command> with_alarm(Command command, std::string_view payload) {
  command.target = payload;
  return command;
}

/// Exactly these fields, each once and each text. A field that means nothing to us may be a safeguard that
/// the sender believes in.
bool is_shelf(const Json& json, std::size_t keys_seen) {
  constexpr std::array kFields{"alarm", "for", "because"};
  const auto is_text = [&](const char* name) { return json.contains(name) && json[name].is_string(); };
  return json.is_object() && json.size() == kFields.size() && keys_seen == kFields.size() &&
         std::all_of(kFields.begin(), kFields.end(), is_text);
}

Result<Command> with_shelf(Command command, std::string_view payload) {
  std::size_t keys_seen = 0;
  const auto count = [&keys_seen](int, Json::parse_event_t event, const Json&) {
    if (event == Json::parse_event_t::key) ++keys_seen;
    return true;
  };
  const Json json = Json::parse(payload, count, false);
  if (!is_shelf(json, keys_seen))
    return expected(R"({"alarm":"header/low","for":"2 h","because":"cleaning"})", payload);
  command.target = json["alarm"];
  if (!is_alarm(command.target)) return expected("an alarm such as header/low", command.target);
  const auto lasts = parse_duration(json["for"].get<std::string>());
  if (!lasts) return expected("a time such as 2 h", json["for"].get<std::string>());
  command.lasts = *lasts;
  command.because = json["because"];
  const bool fits = !command.because.empty() && command.because.size() <= kLongestReason;
  if (!fits || !is_plain_line(command.because))
    return expected("a reason of 1 to 128 bytes, in one line", command.because);
  return command;
}

}  // namespace

std::size_t longest_payload(PayloadForm form) {
  return form == PayloadForm::shelf ? kLongestShelf : kLongestWord;
}

Result<Command> parse_payload(const CommandTopic& topic, std::string_view payload) {
  const Command command{.kind = topic.row->kind, .target = topic.target, .origin = Origin::network};
  switch (topic.row->form) {
    case PayloadForm::yes:
      if (payload != "true") return expected("true", payload);
      return command;
    case PayloadForm::mode: return with_mode(command, payload);
    case PayloadForm::alarm:
      if (!is_alarm(payload)) return expected("an alarm such as header/low", payload);
      return with_alarm(command, payload);
    case PayloadForm::alarm_or_all:
      if (payload != "all" && !is_alarm(payload))
        return expected("an alarm such as header/low, or all", payload);
      return with_alarm(command, payload);
    case PayloadForm::shelf: return with_shelf(command, payload);
  }
  return Failure{"nothing is known of its form"};
}

std::string excerpt(std::string_view bytes) {
  std::string text = "'";
  for (const char c : bytes.substr(0, kLongestExcerpt)) {
    const bool plain = c >= ' ' && c <= '~' && c != '\\' && c != '\'';
    std::array<char, 5> escaped{};
    std::snprintf(escaped.data(), escaped.size(), "\\x%02X", static_cast<unsigned char>(c));
    text += plain ? std::string(1, c) : std::string{escaped.data()};
  }
  return text + (bytes.size() > kLongestExcerpt ? "…'" : "'");
}

}  // namespace stillwell::report
