#include "stillwell/report/requests.hpp"

#include <optional>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kLongestName = 128;
constexpr const char* kVerbs = "status, acknowledge, reset, mode or accept";

/// A field that must be text of a sensible length; empty when it is not.
std::optional<std::string> text_of(const Json& request, const char* name) {
  const auto found = request.find(name);
  if (found == request.end() || !found->is_string()) return {};
  auto text = found->get<std::string>();
  if (text.empty() || text.size() > kLongestName) return {};
  return text;
}

std::optional<CommandKind> kind_of(std::string_view verb) {
  if (verb == "acknowledge") return CommandKind::acknowledge;
  if (verb == "reset") return CommandKind::reset;
  if (verb == "mode") return CommandKind::mode;
  if (verb == "accept") return CommandKind::accept;
  return {};
}

/// A name that means nothing to us may be a safeguard that the caller believes in.
std::optional<std::string> stranger(const Json& request, CommandKind kind) {
  for (const auto& [name, value] : request.items()) {
    const bool known = name == "do" || name == "target" || (name == "argument" && kind == CommandKind::mode);
    if (!known) return name;
  }
  return {};
}

Result<Request> parse_command(const Json& request, CommandKind kind) {
  if (const auto name = stranger(request, kind)) {
    return Failure{"the field `" + *name + "` is not known here"};
  }
  const auto target = text_of(request, "target");
  if (!target)
    return Failure{"`target` must be text of 1 to 128 bytes: an alarm (header/low), a pump or a tank"};
  Command command;
  command.kind = kind;
  command.target = *target;
  if (kind != CommandKind::mode) return Request{command};
  const auto argument = text_of(request, "argument");
  if (!argument || (*argument != "auto" && *argument != "off")) {
    return Failure{"`argument` must be auto or off"};
  }
  command.argument = *argument;
  return Request{command};
}

}  // namespace

Result<Request> parse_request(std::string_view line) {
  const auto request = Json::parse(line, nullptr, false);
  if (!request.is_object()) {
    return Failure{std::string{"expected one line of JSON such as {\"do\":\"status\"}; `do` is one of "} +
                   kVerbs};
  }
  const auto verb = text_of(request, "do");
  if (verb == "status") return Request{StatusRequest{}};
  const auto kind = verb ? kind_of(*verb) : std::nullopt;
  if (!kind) return Failure{std::string{"`do` must be one of "} + kVerbs};
  return parse_command(request, *kind);
}

std::string to_json(const Answer& answer) {
  return Json{{"done", answer.done}, {"text", answer.text}}.dump(-1, ' ', false,
                                                                 Json::error_handler_t::replace);
}

}  // namespace stillwell::report
