#include "stillwell/report/command_payload.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <optional>

namespace stillwell::report {
namespace {

constexpr std::size_t kLongestWord = 64;
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
  if (payload != to_word(Mode::automatic) && payload != to_word(Mode::off))
    return expected("auto or off", payload);
  command.argument = payload;
  return command;
}

Result<Command> with_alarm(Command command, std::string_view payload) {
  command.target = payload;
  return command;
}

}  // namespace

std::size_t longest_payload(PayloadForm) {
  return kLongestWord;
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
