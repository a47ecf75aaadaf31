#include "stillwell/report/command_gate.hpp"

#include "stillwell/report/command_payload.hpp"
#include "stillwell/report/snapshot.hpp"

#include <algorithm>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;

constexpr std::size_t kLongestRequestId = 64;
constexpr std::size_t kRemembered = 64;
constexpr auto kFresh = 30s;
constexpr auto kPerTopic = 1s;
constexpr auto kPerTarget = 60s;
constexpr std::ptrdiff_t kMostPerTarget = 10;
constexpr std::size_t kMostOthers = 20;  // the rest is kept for what must always get through
constexpr std::size_t kMostInAll = 30;   // each is a line of the journal, also one that the rules refuse

/// The marks that a sender put on it.
struct Marks {
  std::string request;
  std::optional<Stamp> issued;
};

/// A property that stands twice could mean either of its values, so it is malformed.
Result<std::string> property(const Incoming& message, std::string_view name) {
  const auto is_it = [name](const auto& each) { return each.first == name; };
  const auto& all = message.properties;
  if (std::count_if(all.begin(), all.end(), is_it) > 1)
    return Failure{"its " + std::string{name} + " stands there twice"};
  const auto found = std::find_if(all.begin(), all.end(), is_it);
  return found == all.end() ? std::string{} : found->second;
}

Result<Marks> marks_of(const Incoming& message) {
  const auto request = property(message, "request-id");
  if (!request) return Failure{request.error()};
  if (request->size() > kLongestRequestId) return Failure{"its request-id is longer than 64 bytes"};
  const auto issued = property(message, "issued-at");
  if (!issued) return Failure{issued.error()};
  Marks marks{*request, parse_rfc3339(*issued)};
  if (!issued->empty() && !marks.issued)
    return Failure{"its issued-at is no time such as 2026-03-01T04:12:07Z, but " + excerpt(*issued)};
  return marks;
}

std::optional<std::string> stale(const Incoming& message, const Marks& marks, Incoming::Time now,
                                 std::optional<Stamp> wall) {
  if (now - message.arrived > kFresh) return "it waited here for longer than 30 s";
  if (!marks.issued || !wall) return {};
  if (*wall - *marks.issued > kFresh) return "it was issued at " + to_text(*marks.issued) + ", over 30 s ago";
  if (*marks.issued - *wall > kFresh)
    return "it was issued at " + to_text(*marks.issued) + ", which is to come; one of the clocks is wrong";
  return {};
}

/// What a chatty hub must not shut out.
bool is_urgent(const Command& command) {
  return command.kind == CommandKind::silence ||
         (command.kind == CommandKind::mode && command.argument == to_word(Mode::off));
}

}  // namespace

CommandGate::Judgement CommandGate::judge(const Incoming& message, Time now, std::optional<Stamp> wall) {
  const CommandTopic* topic = find(message.topic);
  Refusal refusal{.topic = message.topic};
  const auto refuse = [&refusal](Why why, std::string text) {
    refusal.why = why;
    refusal.text = std::move(text);
    return Judgement{refusal};
  };
  if (topic == nullptr) {
    refusal.topic = excerpt(message.topic);
    return refuse(Why::unknown_topic, "nothing can be set there");
  }
  refusal.of = topic->target;
  refusal.verb = topic->row->property;
  if (message.retained && message.payload.empty()) return {};
  if (message.retained) {
    return refuse(
        Why::retained,
        "it is retained, and the broker would repeat it for ever; it is cleared there. Send commands "
        "without retain");
  }
  if (message.early) return refuse(Why::not_ready, "the gateway was not ready yet; send it again");
  const std::size_t longest = longest_payload(topic->row->form);
  if (message.payload.empty()) return refuse(Why::empty, "it is empty");
  if (message.payload.size() > longest)
    return refuse(Why::too_long, "it is longer than " + std::to_string(longest) + " bytes");
  const auto command = parse_payload(*topic, message.payload);
  if (!command) return refuse(Why::malformed, command.error());
  // By its name alone: what a stranger writes is nobody's name, and lists no names for him.
  const bool named_here = !topic->target.empty() || command->target == "all";
  if (!named_here && !alarms_.contains(command->target))
    return refuse(Why::malformed, "no alarm is named " + excerpt(command->target));
  refusal.of = command->target;
  const auto marks = marks_of(message);
  if (!marks) return refuse(Why::malformed, marks.error());
  if (auto text = repeated(message, marks->request)) return refuse(Why::repeated, std::move(*text));
  if (auto text = stale(message, *marks, now, wall)) return refuse(Why::stale, std::move(*text));
  if (auto text = too_frequent(message.topic, *command, message.arrived))
    return refuse(Why::too_frequent, std::move(*text));
  remember(message, marks->request, command->target);
  return *command;
}

const CommandTopic* CommandGate::find(std::string_view topic) const {
  const auto found =
      std::find_if(topics_.begin(), topics_.end(), [&](const auto& each) { return each.topic == topic; });
  return found == topics_.end() ? nullptr : &*found;
}

std::optional<std::string> CommandGate::repeated(const Incoming& message, const std::string& request) const {
  const auto same_request = [&](const Seen& seen) { return !request.empty() && seen.request == request; };
  // The library does not tell packet identifiers: a repeat is known by what it says.
  const auto same_packet = [&](const Seen& seen) {
    return message.duplicate && seen.topic == message.topic && seen.payload == message.payload &&
           seen.request == request;
  };
  if (std::any_of(seen_.begin(), seen_.end(), same_request))
    return "its request-id " + excerpt(request) + " came before";
  if (std::any_of(seen_.begin(), seen_.end(), same_packet)) return "it was delivered twice";
  return {};
}

std::optional<std::string> CommandGate::too_frequent(const std::string& topic, const Command& command,
                                                     Time now) {
  std::erase_if(passed_, [now](const Passed& each) { return now - each.at >= kPerTarget; });
  const auto just_now = [&](const Passed& each) { return each.topic == topic && now - each.at < kPerTopic; };
  const auto of_target = [&](const Passed& each) { return each.target == command.target; };
  if (passed_.size() >= kMostInAll) return "there were thirty in all within a minute";
  if (passed_.size() >= kMostOthers && !is_urgent(command))
    return "there were twenty within a minute, and the next ten are kept for off and silence";
  if (std::any_of(passed_.begin(), passed_.end(), just_now)) return "less than a second after the last one";
  if (std::count_if(passed_.begin(), passed_.end(), of_target) >= kMostPerTarget)
    return "there were ten for the same within a minute";
  return {};
}

void CommandGate::remember(const Incoming& message, const std::string& request, const std::string& target) {
  passed_.push_back({message.arrived, message.topic, target});
  seen_.push_back({message.topic, message.payload, request});
  if (seen_.size() > kRemembered) seen_.pop_front();
}

std::optional<Stamp> parse_rfc3339(std::string_view text) {
  constexpr std::size_t kSeconds = 19;  // "2026-03-01T04:12:07"
  if (text.size() <= kSeconds) return {};
  std::string plain{text.substr(0, kSeconds)};
  std::string_view rest = text.substr(kSeconds);
  std::string fraction;
  if (rest.front() == '.') {
    rest.remove_prefix(1);
    const auto end = std::min(rest.find_first_not_of("0123456789"), rest.size());
    fraction = rest.substr(0, end);
    rest.remove_prefix(end);
    if (fraction.empty()) return {};
  }
  fraction.resize(3, '0');
  const auto stamp = parse_stamp(plain + "." + fraction + "Z");
  if (!stamp || rest == "Z") return stamp;
  if (!rest.starts_with('+') && !rest.starts_with('-')) return {};
  // "+01:00": the hour and minute by which the sender's clock is ahead of UTC
  const auto offset = parse_stamp("1970-01-01T" + std::string{rest.substr(1)} + ":00.000Z");
  if (!offset) return {};
  const auto ahead = offset->time_since_epoch();
  return rest.front() == '+' ? *stamp - ahead : *stamp + ahead;
}

}  // namespace stillwell::report
