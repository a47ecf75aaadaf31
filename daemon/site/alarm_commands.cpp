#include "stillwell/site/alarm_commands.hpp"

#include "stillwell/quantity/listed.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/site/alarms.hpp"

#include <algorithm>

namespace stillwell {
namespace {

// An hour or a shift, not for ever: ISA-18.2 / IEC 62682 want a bounded time, the figures are common
// practice.
constexpr Duration kShortestShelf = std::chrono::minutes{1};
constexpr Duration kLongestShelf = std::chrono::hours{24};

void tell_state(const CommandCase& it, std::size_t at) {
  it.outcome.events.push_back(tell({it.model, it.memory, it.image, it.memory.levels, it.outcome.at}, at));
  it.memory.alarms[at].heard = it.memory.alarms[at].state != AlarmState::normal;
}

CommandReply no_alarm(const CommandCase& it, const std::string& name) {
  return {false, "no alarm is named '" + name + "'; there are: " + listed_ids(it.model.alarms)};
}

CommandReply acknowledge_all(const CommandCase& it) {
  int count = 0;
  for (std::size_t at = 0; at < it.model.alarms.size(); ++at) {
    if (!acknowledge(it.memory.alarms[at], it.outcome.at)) continue;
    tell_state(it, at);
    ++count;
  }
  return {true, std::to_string(count) + (count == 1 ? " alarm acknowledged" : " alarms acknowledged")};
}

/// Of a contact that a pump hangs on, not a horn.
bool is_of_pump(const Model& model, const Alarm& alarm) {
  const auto* contact = std::get_if<ContactIndex>(&alarm.of);
  return contact != nullptr && std::any_of(model.pumps.begin(), model.pumps.end(), [&](const Pump& pump) {
           return pump.contact == *contact || (pump.isolator && pump.isolator->contact == *contact);
         });
}

}  // namespace

CommandReply do_acknowledge(const CommandCase& it, const Command& command) {
  if (command.target == "all") return acknowledge_all(it);
  const auto at = find_id(it.model.alarms, command.target);
  if (!at) return no_alarm(it, command.target);
  if (!acknowledge(it.memory.alarms[*at], it.outcome.at))
    return {false, command.target + " has nothing to acknowledge"};
  tell_state(it, *at);
  return {true, command.target + " acknowledged"};
}

CommandReply reset_alarm(const CommandCase& it, std::size_t at) {
  const std::string& id = it.model.alarms[at].id;
  AlarmMemory& alarm = it.memory.alarms[at];
  if (alarm.active) return {false, id + " still stands; its cause must go first"};
  if (!reset(alarm, it.outcome.at))
    return {false, id + " is " + std::string(to_word(alarm.state)) + ", not latched"};
  tell_state(it, at);
  return {true, id + " reset"};
}

CommandReply do_shelve(const CommandCase& it, const Command& command) {
  const auto at = find_id(it.model.alarms, command.target);
  if (!at) return no_alarm(it, command.target);
  if (command.lasts < kShortestShelf || command.lasts > kLongestShelf) {
    return {false, "an alarm is shelved for " + to_text(kShortestShelf) + " to " + to_text(kLongestShelf)};
  }
  const AlarmKind kind = it.model.alarms[*at].kind;
  const bool says_live = kind == AlarmKind::stuck_on || (kind == AlarmKind::contact_unreachable &&
                                                         is_of_pump(it.model, it.model.alarms[*at]));
  if (says_live && command.origin == Origin::network)
    return {false, command.target + " says that a motor may run; it is shelved on the spot only"};
  if (command.because.empty()) return {false, "say why, so that the next one knows"};
  AlarmMemory& alarm = it.memory.alarms[*at];
  if (!shelve(alarm, {it.outcome.at + command.lasts, command.because}, it.outcome.at)) {
    return {false, command.target + " is " + std::string(to_word(alarm.state)) + " already"};
  }
  tell_state(it, *at);
  return {true, command.target + " shelved for " + to_text(command.lasts) + ": " + command.because};
}

CommandReply do_unshelve(const CommandCase& it, const Command& command) {
  const auto at = find_id(it.model.alarms, command.target);
  if (!at) return no_alarm(it, command.target);
  if (!unshelve(it.memory.alarms[*at], it.model.alarms[*at], it.outcome.at))
    return {false, command.target + " is not shelved"};
  tell_state(it, *at);
  return {true, command.target + " is back: " + std::string(to_word(it.memory.alarms[*at].state))};
}

}  // namespace stillwell
