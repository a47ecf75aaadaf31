#include "stillwell/site/pump_commands.hpp"

#include "stillwell/pump/motor_evidence.hpp"
#include "stillwell/quantity/listed.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/site/proof.hpp"
#include "stillwell/site/service.hpp"

namespace stillwell {
namespace {

/// Why the motor may run although nobody wants it to. One that was stuck on is off when that is seen, and not
/// because nobody can see it.
std::optional<Cause> may_be_running(const PumpMemory& pump) {
  if (pump.refusal) return pump.refusal;
  const bool unproved = pump.lock_out == Cause::stuck_on && !pump.proved_off;
  return unproved ? pump.lock_out : std::nullopt;
}

/// What is known of a pump that is held: somebody is about to go there.
std::string certainty(const CommandCase& it, std::size_t at) {
  const PumpMemory& pump = it.memory.pumps[at];
  if (const auto cause = may_be_running(pump)) {
    return " (it MAY BE RUNNING: " + std::string(to_word(*cause)) + ")";
  }
  if (pump.order == Order::on) return " (being switched off, NOT CONFIRMED yet)";
  if (!pump.proved_off) return " (NOT CONFIRMED off)";
  return has_witness(it.model.pumps[at]) ? " (contact off, motor seen to stand)" : " (contact off)";
}

/// "held: lift (contact off), bore (…)": the pumps that are held now.
std::string held_pumps(const CommandCase& it) {
  std::vector<std::string> held;
  for (std::size_t at = 0; at < it.model.pumps.size(); ++at) {
    if (is_out(it.model, it.memory, {at}) || is_released(it.memory, {at}))
      held.push_back(it.model.pumps[at].id + certainty(it, at));
  }
  return held.empty() ? "no pump is held by service" : "held: " + listed(held);
}

std::optional<Mode> mode_of(const std::string& word) {
  for (const Mode mode : {Mode::automatic, Mode::hand, Mode::off}) {
    if (to_word(mode) == word) return mode;
  }
  return std::nullopt;
}

CommandReply do_hand(const Pump& pump, PumpMemory& memory, const Command& command, Instant now) {
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

CommandReply do_automatic_or_off(PumpMemory& memory, Mode mode, const Command& command) {
  if (!set_mode(memory, mode, command.origin))
    return {false, command.target + " was switched off on the spot, and only there it is switched on again"};
  return {true, command.target + " is now in mode " + command.argument};
}

}  // namespace

CommandReply reset_pump(const CommandCase& it, std::size_t at, Origin origin) {
  const std::string& id = it.model.pumps[at].id;
  PumpMemory& pump = it.memory.pumps[at];
  const auto running = may_be_running(pump);
  if (pump.lock_out && running) {
    return {false, id + " may still be running: " + std::string(to_word(*running)) +
                       " stands, and nothing shows that it is off; isolate it first"};
  }
  if (pump.lock_out == Cause::stuck_on && origin == Origin::network)
    return {false, id + " was stuck on; it is reset by a person on the spot only"};
  if (pump.lock_out && origin == Origin::network && pump.reset_by_network) {
    return {false,
            id + " was reset over the network once and has not proved itself since; the next reset is for "
                 "a person on the spot"};
  }
  if (pump.released && origin == Origin::network)
    return {false, id + " was released on the spot, and only there it is reset"};
  const bool was_held = pump.lock_out || pump.released;
  if (!reset(pump, origin)) return {false, id + " is not locked out"};
  if (!was_held) return {true, id + " begins its count of failures anew; it may start at once"};
  return {true, id + " reset; it starts when its level asks for it and nothing holds it"};
}

/// What a person says of a pump stands above a proof of it (rule 15).
CommandReply do_mode(const CommandCase& it, const Command& command) {
  const Model& model = it.model;
  Memory& memory = it.memory;
  const auto at = find_id(model.pumps, command.target);
  if (!at) return {false, "no pump is named '" + command.target + "'; there are: " + listed_ids(model.pumps)};
  const auto mode = mode_of(command.argument);
  if (!mode) return {false, "'" + command.argument + "' is not a mode; expected auto, hand or off"};
  CommandReply reply = *mode == Mode::hand
                           ? do_hand(model.pumps[*at], memory.pumps[*at], command, it.outcome.at)
                           : do_automatic_or_off(memory.pumps[*at], *mode, command);
  if (!reply.done || !memory.proof || memory.proof->pump.at != *at) return reply;
  memory.proof.reset();
  return {true, reply.text + "; the proof of it is broken off"};
}

CommandReply do_service(const CommandCase& it, const Command& command) {
  const Model& model = it.model;
  Memory& memory = it.memory;
  const auto tank = find_id(model.tanks, command.target);
  const auto pump = find_id(model.pumps, command.target);
  if (!tank && !pump) {
    return {false, "no tank or pump is named '" + command.target + "'; tanks: " + listed_ids(model.tanks) +
                       "; pumps: " + listed_ids(model.pumps)};
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

CommandReply do_release(const CommandCase& it, const Command& command) {
  if (command.origin == Origin::network) return {false, "everything is released on the spot only"};
  if (command.target != "all") return {false, "release means every pump; one is switched off by its mode"};
  if (it.model.pumps.empty()) return {false, "this site has no pumps"};
  it.memory.proof.reset();
  for (PumpMemory& pump : it.memory.pumps)
    pump.released = true;
  return {true, "every pump is released, and stays off until it is reset; " + held_pumps(it)};
}

}  // namespace stillwell
