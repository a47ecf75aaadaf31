#include "stillwell/site/commands.hpp"

#include "stillwell/pump/concerns.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/site/alarms.hpp"
#include "stillwell/site/annunciators.hpp"
#include "stillwell/site/levels.hpp"
#include "stillwell/site/proof.hpp"
#include "stillwell/site/service.hpp"
#include "stillwell/site/story.hpp"

#include <algorithm>

namespace stillwell {
namespace {

// An hour or a shift, not for ever: ISA-18.2 / IEC 62682 want a bounded time, the figures are common
// practice.
constexpr Duration kShortestShelf = std::chrono::minutes{1};
constexpr Duration kLongestShelf = std::chrono::hours{24};

/// What came of a command, before it is told.
struct Reply {
  bool done = false;
  std::string text;
  bool is_news = true;  ///< false: no event tells of it
};

template <class List>
std::optional<std::size_t> find(const List& list, const std::string& id) {
  const auto found = std::find_if(list.begin(), list.end(), [&](const auto& item) { return item.id == id; });
  if (found == list.end()) return std::nullopt;
  return static_cast<std::size_t>(found - list.begin());
}

template <class List>
std::string ids_of(const List& list) {
  std::string text;
  for (const auto& item : list)
    text += (text.empty() ? "" : ", ") + item.id;
  return text.empty() ? "none" : text;
}

/// A site that a command changes, and the scan in which it does.
struct Case {
  const Model& model;
  Memory& memory;
  const InputImage& image;
  Outcome& outcome;
};

void tell_state(const Case& it, std::size_t at) {
  it.outcome.events.push_back(tell({it.model, it.memory, it.image, it.memory.levels, it.outcome.at}, at));
  it.memory.alarms[at].heard = it.memory.alarms[at].state != AlarmState::normal;
}

Reply acknowledge_all(const Case& it) {
  int count = 0;
  for (std::size_t at = 0; at < it.model.alarms.size(); ++at) {
    if (!acknowledge(it.memory.alarms[at], it.outcome.at)) continue;
    tell_state(it, at);
    ++count;
  }
  return {true, std::to_string(count) + (count == 1 ? " alarm acknowledged" : " alarms acknowledged")};
}

Reply do_acknowledge(const Case& it, const Command& command) {
  if (command.target == "all") return acknowledge_all(it);
  const auto at = find(it.model.alarms, command.target);
  if (!at)
    return {false, "no alarm is named '" + command.target + "'; there are: " + ids_of(it.model.alarms)};
  if (!acknowledge(it.memory.alarms[*at], it.outcome.at))
    return {false, command.target + " has nothing to acknowledge"};
  tell_state(it, *at);
  return {true, command.target + " acknowledged"};
}

/// Why the motor may run although nobody wants it to. One that was stuck on is off when that is seen, and not
/// because nobody can see it.
std::optional<Cause> may_be_running(const PumpMemory& pump) {
  if (pump.refusal) return pump.refusal;
  const bool unproved = pump.lock_out == Cause::stuck_on && !pump.proved_off;
  return unproved ? pump.lock_out : std::nullopt;
}

Reply do_reset(const Case& it, const Command& command) {
  if (const auto at = find(it.model.pumps, command.target)) {
    PumpMemory& pump = it.memory.pumps[*at];
    const auto running = may_be_running(pump);
    if (pump.lock_out && running) {
      return {false, command.target + " may still be running: " + std::string(to_word(*running)) +
                         " stands, and nothing shows that it is off; isolate it first"};
    }
    if (pump.lock_out == Cause::stuck_on && command.origin == Origin::network)
      return {false, command.target + " was stuck on; it is reset by a person on the spot only"};
    if (pump.lock_out && command.origin == Origin::network && pump.reset_by_network) {
      return {false,
              command.target +
                  " was reset over the network once and has not proved itself since; the next reset is for "
                  "a person on the spot"};
    }
    const bool was_locked_out = pump.lock_out.has_value();
    if (!reset(pump, command.origin)) return {false, command.target + " is not locked out"};
    if (!was_locked_out)
      return {true, command.target + " begins its count of failures anew; it may start at once"};
    return {true, command.target + " reset; it starts when its level asks for it and nothing holds it"};
  }
  if (const auto at = find(it.model.alarms, command.target)) {
    if (it.memory.alarms[*at].active)
      return {false, command.target + " still stands; its cause must go first"};
    AlarmMemory& alarm = it.memory.alarms[*at];
    if (!reset(alarm, it.outcome.at))
      return {false, command.target + " is " + std::string(to_word(alarm.state)) + ", not latched"};
    tell_state(it, *at);
    return {true, command.target + " reset"};
  }
  return {false, "no pump or alarm is named '" + command.target + "'; pumps: " + ids_of(it.model.pumps) +
                     "; alarms: " + ids_of(it.model.alarms)};
}

/// Of a contact that a pump hangs on, not a horn.
bool is_of_pump(const Model& model, const Alarm& alarm) {
  const auto* contact = std::get_if<ContactIndex>(&alarm.of);
  return contact != nullptr && std::any_of(model.pumps.begin(), model.pumps.end(), [&](const Pump& pump) {
           return pump.contact == *contact || (pump.isolator && pump.isolator->contact == *contact);
         });
}

Reply do_shelve(const Case& it, const Command& command) {
  const auto at = find(it.model.alarms, command.target);
  if (!at)
    return {false, "no alarm is named '" + command.target + "'; there are: " + ids_of(it.model.alarms)};
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

Reply do_unshelve(const Case& it, const Command& command) {
  const auto at = find(it.model.alarms, command.target);
  if (!at)
    return {false, "no alarm is named '" + command.target + "'; there are: " + ids_of(it.model.alarms)};
  if (!unshelve(it.memory.alarms[*at], it.model.alarms[*at], it.outcome.at))
    return {false, command.target + " is not shelved"};
  tell_state(it, *at);
  return {true, command.target + " is back: " + std::string(to_word(it.memory.alarms[*at].state))};
}

/// What is known of a pump that is held: somebody is about to go there.
std::string certainty(const Case& it, std::size_t at) {
  const PumpMemory& pump = it.memory.pumps[at];
  if (const auto cause = may_be_running(pump)) {
    return " (it MAY BE RUNNING: " + std::string(to_word(*cause)) + ")";
  }
  if (pump.order == Order::on) return " (being switched off, NOT CONFIRMED yet)";
  if (!pump.proved_off) return " (NOT CONFIRMED off)";
  const bool is_seen = concerns(Cause::stuck_on, it.model.pumps[at]);
  return is_seen ? " (contact off, motor seen to stand)" : " (contact off)";
}

/// "held: lift (contact off), bore (…)": the pumps that are held now.
std::string held_pumps(const Case& it) {
  std::string held;
  for (std::size_t at = 0; at < it.model.pumps.size(); ++at) {
    if (is_out(it.model, it.memory, {at}))
      held += (held.empty() ? "" : ", ") + it.model.pumps[at].id + certainty(it, at);
  }
  return held.empty() ? "no pump is held by service" : "held: " + held;
}

Reply do_service(const Case& it, const Command& command) {
  const Model& model = it.model;
  Memory& memory = it.memory;
  const auto tank = find(model.tanks, command.target);
  const auto pump = find(model.pumps, command.target);
  if (!tank && !pump) {
    return {false, "no tank or pump is named '" + command.target + "'; tanks: " + ids_of(model.tanks) +
                       "; pumps: " + ids_of(model.pumps)};
  }
  if (command.argument != "in" && command.argument != "out")
    return {false, "'" + command.argument + "' is no state of service; expected in or out"};
  const bool out = command.argument == "out";
  const bool was_out = tank ? memory.tanks_out[*tank] : memory.pumps[*pump].out_of_service;
  if (out == was_out) return {false, command.target + " is " + (out ? "out of" : "in") + " service already"};
  if (tank)
    memory.tanks_out[*tank] = out;
  else
    memory.pumps[*pump].out_of_service = out;
  if (!out) {
    return {true, command.target + " is back in service: a pump may start at once; " + held_pumps(it)};
  }
  const std::string broken_off =
      yield_to_service(model, memory) ? "the proof that was under way is broken off; " : "";
  return {true, command.target + " is out of service; " + broken_off + held_pumps(it) +
                    ". This switches nothing off that is not a pump's contact: isolate and lock out before "
                    "you touch anything"};
}

std::optional<Mode> mode_of(const std::string& word) {
  for (const Mode mode : {Mode::automatic, Mode::hand, Mode::off}) {
    if (to_word(mode) == word) return mode;
  }
  return std::nullopt;
}

Reply do_hand(const Pump& pump, PumpMemory& memory, const Command& command, Instant now) {
  const bool standing = memory.mode == Mode::hand;
  if (!set_hand(memory, now + pump.hand_for, command.origin)) {
    return {false,
            pump.id + (standing ? " is in hand already; over the network that is not made longer"
                                : " was switched off on the spot, and only there it is switched on again")};
  }
  return {true, pump.id + " is in hand for " + to_text(pump.hand_for) +
                    ": it may start at once, whatever its start level and its windows say, and stops at its "
                    "stop level and for every trip"};
}

Reply do_automatic_or_off(PumpMemory& memory, Mode mode, const Command& command) {
  if (!set_mode(memory, mode, command.origin))
    return {false, command.target + " was switched off on the spot, and only there it is switched on again"};
  return {true, command.target + " is now in mode " + command.argument};
}

/// What a person says of a pump stands above a proof of it (rule 15).
Reply do_mode(const Model& model, Memory& memory, const Command& command, Instant now) {
  const auto at = find(model.pumps, command.target);
  if (!at) return {false, "no pump is named '" + command.target + "'; there are: " + ids_of(model.pumps)};
  const auto mode = mode_of(command.argument);
  if (!mode) return {false, "'" + command.argument + "' is not a mode; expected auto, hand or off"};
  Reply reply = *mode == Mode::hand ? do_hand(model.pumps[*at], memory.pumps[*at], command, now)
                                    : do_automatic_or_off(memory.pumps[*at], *mode, command);
  if (!reply.done || !memory.proof || memory.proof->pump.at != *at) return reply;
  memory.proof.reset();
  return {true, reply.text + "; the proof of it is broken off"};
}

Reply do_accept(const Model& model, Memory& memory, const Command& command) {
  const auto at = find(model.tanks, command.target);
  if (!at) return {false, "no tank is named '" + command.target + "'; there are: " + ids_of(model.tanks)};
  if (model.tanks[*at].floats) {
    return {false, command.target + " is kept by floats, which show no level that could be accepted"};
  }
  const Level& level = memory.levels[*at];
  const auto readings = refused(model.tanks[*at], memory);
  const std::string shown = readings.empty() ? "" : tell_refused(model, readings);
  if (level.usable()) {
    return {false, command.target + " is known to be at " + to_text(*level.level) +
                       (shown.empty() ? "" : "; mend the gauge instead: " + shown)};
  }
  if (readings.empty()) {
    return {false, command.target + " is " + std::string(to_word(level.quality)) + " (" +
                       std::string(to_word(level.reason)) +
                       "); only a gauge that jumped or stood still can be accepted"};
  }
  accept(readings, memory);
  return {true, shown + "; that is taken for the water's level"};
}

/// The annunciators that a command means; none when nothing has that name.
std::vector<std::size_t> annunciators_named(const Model& model, const std::string& target) {
  std::vector<std::size_t> meant;
  for (std::size_t at = 0; at < model.annunciators.size(); ++at) {
    if (target == "all" || model.annunciators[at].id == target) meant.push_back(at);
  }
  return meant;
}

Reply no_annunciator(const Model& model, const std::string& target) {
  if (model.annunciators.empty()) return {false, "this site has no annunciators"};
  return {false, "no annunciator is named '" + target + "'; there are: " + ids_of(model.annunciators)};
}

Reply do_silence(const Case& it, const Command& command) {
  const auto meant = annunciators_named(it.model, command.target);
  if (meant.empty()) return no_annunciator(it.model, command.target);
  std::string silenced;
  for (const std::size_t at : meant) {
    if (!silence(it.memory.annunciators[at], it.outcome.at)) continue;
    const Annunciator& annunciator = it.model.annunciators[at];
    it.outcome.events.push_back(tell_annunciator(annunciator, AnnunciatorEvent::silenced_by_command));
    silenced += (silenced.empty() ? "" : ", ") + annunciator.id;
  }
  if (silenced.empty()) return {false, "nothing sounds for an alarm"};
  return {true, silenced + " silenced; the alarms stand until they are acknowledged"};
}

/// Refused for nothing but a name: a horn that cannot be tested is none.
Reply do_sound_horn(const Case& it, const Command& command) {
  const auto meant = annunciators_named(it.model, command.target);
  if (meant.empty()) return no_annunciator(it.model, command.target);
  for (const std::size_t at : meant) {
    test(it.memory.annunciators[at], it.outcome.at);
    it.outcome.events.push_back(tell_annunciator(it.model.annunciators[at], AnnunciatorEvent::test));
  }
  return {true, (command.target == "all" ? "all annunciators sound" : command.target + " sounds") + " for " +
                    to_text(kHornTest)};
}

Reply do_prove(const Case& it, const Command& command) {
  if (it.image.observing) return {false, "a daemon that only observes switches nothing that could be proved"};
  ProofReply reply = step_proof(it.model, it.memory, command, it.outcome.at);
  return {reply.done, std::move(reply.text), reply.is_news};
}

Reply carry_out(const Case& it, const Command& command) {
  switch (command.kind) {
    case CommandKind::acknowledge: return do_acknowledge(it, command);
    case CommandKind::reset: return do_reset(it, command);
    case CommandKind::mode: return do_mode(it.model, it.memory, command, it.outcome.at);
    case CommandKind::accept: return do_accept(it.model, it.memory, command);
    case CommandKind::shelve: return do_shelve(it, command);
    case CommandKind::unshelve: return do_unshelve(it, command);
    case CommandKind::service: return do_service(it, command);
    case CommandKind::silence: return do_silence(it, command);
    case CommandKind::sound_horn: return do_sound_horn(it, command);
    case CommandKind::prove: return do_prove(it, command);
  }
  return {false, "unknown command"};
}

}  // namespace

void obey(const Model& model, Memory& memory, const InputImage& image, const Command& command,
          Outcome& outcome) {
  const Reply reply = carry_out({model, memory, image, outcome}, command);
  const std::string verb{to_word(command.kind)};
  outcome.answers.push_back({command.number, reply.done, reply.text});
  if (!reply.is_news) return;
  outcome.events.push_back({.kind = EventKind::command,
                            .of = command.target.empty() ? model.id : command.target,
                            .cause = verb,
                            .text = (reply.done ? "" : "refused: ") + reply.text +
                                    (command.origin == Origin::network ? " (over MQTT)." : "."),
                            .values = {}});
}

}  // namespace stillwell
