#include "stillwell/report/requests.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/letters.hpp"

#include <algorithm>
#include <array>
#include <optional>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kLongestName = 128;
/// What a command needs beside its verb.
enum class Needs : std::uint8_t { target, target_or_all, argument, step, shelf };

struct Verb {
  CommandKind kind{};
  Needs needs = Needs::target;
  std::array<std::string_view, 3> arguments{};  ///< one of these; empty ones at the end
};

constexpr std::array kVerbs{
    Verb{CommandKind::acknowledge},
    Verb{CommandKind::shelve, Needs::shelf},
    Verb{CommandKind::unshelve},
    Verb{CommandKind::reset},
    Verb{CommandKind::mode, Needs::argument, {"auto", "hand", "off"}},
    Verb{CommandKind::accept},
    Verb{CommandKind::service, Needs::argument, {"in", "out"}},
    Verb{CommandKind::silence, Needs::target_or_all},
    Verb{CommandKind::sound_horn, Needs::target_or_all},
    Verb{CommandKind::prove, Needs::step},
    Verb{CommandKind::release, Needs::target_or_all},
};

std::string verb_words() {
  std::string words = "status";
  for (const Verb& verb : kVerbs)
    words += ", " + std::string(to_word(verb.kind));
  return words;
}

/// A field that must be text of a sensible length, in one line; empty when it is not.
std::optional<std::string> text_of(const Json& request, const char* name) {
  const auto found = request.find(name);
  if (found == request.end() || !found->is_string()) return {};
  auto text = found->get<std::string>();
  if (text.empty() || text.size() > kLongestName || !is_plain_line(text)) return {};
  return text;
}

const Verb* verb_named(std::string_view word) {
  for (const Verb& verb : kVerbs) {
    if (to_word(verb.kind) == word) return &verb;
  }
  return nullptr;
}

/// A name that means nothing to us may be a safeguard that the caller believes in.
std::optional<std::string> stranger(const Json& request, const Verb& verb) {
  for (const auto& [name, value] : request.items()) {
    const bool known = name == "do" || name == "target" ||
                       (name == "argument" && (verb.needs == Needs::argument || verb.needs == Needs::step)) ||
                       ((name == "for" || name == "because") && verb.needs == Needs::shelf);
    if (!known) return name;
  }
  return {};
}

/// Empty when it is well, else what is wrong.
std::optional<Failure> read_argument(const Json& request, const Verb& verb, Command& command) {
  const auto argument = text_of(request, "argument");
  if (!argument || argument->empty() ||
      std::ranges::find(verb.arguments, *argument) == verb.arguments.end()) {
    std::string words;
    for (const std::string_view word : verb.arguments)
      words += word.empty() ? "" : (words.empty() ? "" : " or ") + std::string(word);
    return Failure{"`argument` must be " + words};
  }
  command.argument = *argument;
  return {};
}

/// The words for it are the cause table's too; the site knows them.
std::optional<Failure> read_step(const Json& request, Command& command) {
  const auto step = text_of(request, "argument");
  if (!step) return Failure{"`argument` must be begin, keep, hand, off, free, end or the cause to force"};
  command.argument = *step;
  return {};
}

std::optional<Failure> read_shelf(const Json& request, Command& command) {
  const auto lasts = parse_duration(text_of(request, "for").value_or(""));
  if (!lasts) return Failure{"`for`: " + lasts.error()};
  const auto because = text_of(request, "because");
  if (!because || because->size() > kLongestReason) {
    return Failure{"`because` must be plain text of 1 to 128 bytes: why it is put aside, in one line"};
  }
  command.lasts = *lasts;
  command.because = *because;
  return {};
}

Result<Request> parse_command(const Json& request, const Verb& verb) {
  if (const auto name = stranger(request, verb)) {
    return Failure{"the field `" + *name + "` is not known here"};
  }
  const bool all = verb.needs == Needs::target_or_all && !request.contains("target");
  const auto target = all ? "all" : text_of(request, "target");
  if (!target) {
    return Failure{
        "`target` must be plain text of 1 to 128 bytes, in one line: an alarm (header/low), a pump, a tank "
        "or an annunciator"};
  }
  Command command;
  command.kind = verb.kind;
  command.target = *target;
  std::optional<Failure> failure;
  if (verb.needs == Needs::argument) failure = read_argument(request, verb, command);
  if (verb.needs == Needs::step) failure = read_step(request, command);
  if (verb.needs == Needs::shelf) failure = read_shelf(request, command);
  if (failure) return *failure;
  return Request{command};
}

}  // namespace

Result<Request> parse_request(std::string_view line) {
  const auto request = Json::parse(line, nullptr, false);
  if (!request.is_object()) {
    return Failure{"expected one line of JSON such as {\"do\":\"status\"}; `do` is one of " + verb_words()};
  }
  const auto word = text_of(request, "do");
  if (word == "status") return Request{StatusRequest{}};
  const Verb* verb = word ? verb_named(*word) : nullptr;
  if (verb == nullptr) return Failure{"`do` must be one of " + verb_words()};
  return parse_command(request, *verb);
}

std::string to_json(const Answer& answer) {
  return Json{{"done", answer.done}, {"text", answer.text}}.dump(-1, ' ', false,
                                                                 Json::error_handler_t::replace);
}

Result<Answer> parse_answer(std::string_view line) {
  const auto answer = Json::parse(line, nullptr, false);
  const bool understood = answer.is_object() && answer.contains("done") && answer["done"].is_boolean() &&
                          answer.contains("text") && answer["text"].is_string();
  if (!understood) return Failure{"the daemon's answer is not understood: " + std::string(line)};
  return Answer{0, answer["done"].get<bool>(), answer["text"].get<std::string>()};
}

}  // namespace stillwell::report
