#include "stillwell/site/proof.hpp"

#include "stillwell/pump/concerns.hpp"
#include "stillwell/pump/force.hpp"
#include "stillwell/quantity/listed.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/site/service.hpp"

#include <algorithm>

namespace stillwell {
namespace {

std::string put_back(const std::string& id) {
  return id + " is off; `stillwell mode " + id + " auto` puts it back to work";
}

/// Why no proof begins; empty when one may.
std::string obstacle(const Model& model, const Memory& memory, PumpIndex index) {
  const std::string& id = model.pumps[index.at].id;
  if (memory.proof)
    return "a proof of " + model.pumps[memory.proof->pump.at].id + " is under way; there is one at a time";
  const PumpMemory& pump = memory.pumps[index.at];
  if (is_taken_out(model, memory, index)) return id + ", or a tank that it touches, is out of service";
  if (pump.released) return id + " was released; reset it first";
  if (pump.lock_out)
    return id + " is locked out by " + std::string(to_word(*pump.lock_out)) + "; reset it first";
  // A proof resets what it has brought about, and would forgive what the pump has failed at by itself.
  if (pump.feedback_failures > 0 || pump.dry_run.failures > 0)
    return id + " has failed of late; find out why and reset it first";
  return {};
}

ProofReply begin(const Model& model, Memory& memory, PumpIndex index, Instant now) {
  if (auto reason = obstacle(model, memory, index); !reason.empty()) return {false, std::move(reason)};
  // Hand ends in the mode before it, also over a restart: in off.
  set_mode(memory.pumps[index.at], Mode::off);
  memory.proof = ProofLease{.pump = index, .forced = {}, .until = now + kProofLease};
  return {true, "the proof of " + model.pumps[index.at].id + " begins with the pump off"};
}

ProofReply end(const std::string& id, Memory& memory, PumpIndex index) {
  set_mode(memory.pumps[index.at], Mode::off);
  memory.proof.reset();
  return {true, "the proof of " + id + " has ended. " + put_back(id)};
}

/// By the proof itself: what a person says of the pump meanwhile ends the proof (site/commands.cpp).
ProofReply switch_pump(const Pump& pump, PumpMemory& memory, const std::string& mode, Instant now) {
  if (mode == "off")
    set_mode(memory, Mode::off);
  else
    set_hand(memory, now + pump.hand_for);
  return {true, pump.id + (mode == "off" ? " is off" : " is in hand") + " for its proof"};
}

ProofReply force_cause(const Pump& pump, Memory& memory, const std::string& word) {
  const auto table = cause_table();
  const auto row =
      std::find_if(table.begin(), table.end(), [&](const CauseRow& r) { return r.word == word; });
  if (row == table.end())
    return {false,
            "'" + word + "' is not a step of a proof; expected begin, keep, hand, off, free, end or a cause"};
  if (!concerns(row->cause, pump)) return {false, word + " cannot come up for " + pump.id};
  const Forcing forcing = forcing_of(pump, row->cause);
  if (forcing == Forcing::none)
    return {false, word + " is not forced: " + std::string(why_not_forced(pump, row->cause))};
  // Service and release are steps of their own, which the site holds with the lease (site/service.cpp).
  if (row->cause == Cause::mode_off)
    return {false, word + " is not forced: a proof switches the pump by hand and off"};
  memory.proof->forced = row->cause;
  // Told anew, so that an older trip does not pass for this one.
  PumpMemory& own = memory.pumps[memory.proof->pump.at];
  if (!own.tripped) own.first_out.reset();
  return {true, word + " is forced on " + pump.id + " for its proof"};
}

}  // namespace

ProofReply step_proof(const Model& model, Memory& memory, const Command& command, Instant now) {
  if (command.origin == Origin::network) return {false, "a proof is run on the spot"};
  const auto found = std::find_if(model.pumps.begin(), model.pumps.end(),
                                  [&](const Pump& pump) { return pump.id == command.target; });
  if (found == model.pumps.end())
    return {false, "no pump is named '" + command.target + "'; there are: " + listed_ids(model.pumps)};
  const PumpIndex index{static_cast<std::size_t>(found - model.pumps.begin())};
  if (command.argument == "begin") return begin(model, memory, index, now);
  if (!memory.proof || !(memory.proof->pump == index))
    return {false, "no proof of " + found->id + " is under way: it ended, or its lease of " +
                       to_text(kProofLease) + " ran out"};
  if (command.argument == "end") return end(found->id, memory, index);
  const bool switches = command.argument == "hand" || command.argument == "off";
  if (command.argument != "keep" && command.argument != "free") {
    ProofReply reply = switches ? switch_pump(*found, memory.pumps[index.at], command.argument, now)
                                : force_cause(*found, memory, command.argument);
    if (reply.done) memory.proof->until = now + kProofLease;
    return reply;
  }
  memory.proof->until = now + kProofLease;
  if (command.argument == "keep" || !memory.proof->forced) return {true, "as it was", false};
  const std::string word{to_word(*memory.proof->forced)};
  memory.proof->forced.reset();
  return {true, word + " is no longer forced on " + found->id};
}

bool yield_to_service(const Model& model, Memory& memory) {
  if (!memory.proof || !is_taken_out(model, memory, memory.proof->pump)) return false;
  const PumpIndex index = memory.proof->pump;
  end(model.pumps[index.at].id, memory, index);
  return true;
}

void mind_proof(const Model& model, Memory& memory, Outcome& outcome) {
  if (!memory.proof || outcome.at < memory.proof->until) return;
  const PumpIndex index = memory.proof->pump;
  const std::string& id = model.pumps[index.at].id;
  const ProofReply over = end(id, memory, index);
  outcome.events.push_back(
      {.kind = EventKind::service,
       .of = id,
       .cause = "proof-left",
       .text = "Whoever ran the proof was not heard for " + to_text(kProofLease) + ": " + over.text + ".",
       .values = {}});
}

}  // namespace stillwell
