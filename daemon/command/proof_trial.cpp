#include "stillwell/command/proof_trial.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::command {
namespace {

using namespace std::chrono_literals;
using report::ProofResult;
using report::ProofRow;
using report::PumpStatus;

/// What is not over by itself after so long holds the pump for good. Common practice, no source.
constexpr Duration kHeldFor = 10s;
/// Starts of an hour that are spent come back within it.
constexpr Duration kLongestWait = 1h + 5min;
constexpr const char* kTaken = "somebody else switched the pump or took it out of service";
constexpr const char* kLost =
    "the proof was not kept up, or somebody else switched the pump or took it out of service";
/// For the way of a command and of a look; no part of what is judged.
constexpr Duration kSlack = 2s;

bool holds(const PumpStatus& pump, Cause cause) {
  return std::ranges::find(pump.held_by, to_word(cause)) != pump.held_by.end();
}
/// Whether its time alone ends it.
bool is_a_wait(const std::string& cause) {
  return cause == to_word(Cause::rest) || cause == to_word(Cause::starts) ||
         cause == to_word(Cause::power_up) || cause == to_word(Cause::stagger);
}
bool is_waiting(const PumpStatus& pump) {
  return std::ranges::any_of(pump.held_by, is_a_wait);
}
/// What holds it besides waits and its mode.
std::string holders(const PumpStatus& pump) {
  std::string text;
  for (const std::string& cause : pump.held_by)
    if (!is_a_wait(cause) && cause != to_word(Cause::mode_off)) text += (text.empty() ? "" : ", ") + cause;
  return text;
}

bool is_off(const PumpStatus& pump) {
  return pump.order == "off" && pump.contact == "off";
}

/// The name that is told for it: the first of the trip, or what holds the pump.
bool is_named(const PumpStatus& pump, Cause cause) {
  const CauseRow& row = row_of(cause);
  if (row.verdict == Verdict::lock_out && pump.state != to_word(PumpState::locked_out)) return false;
  return row.verdict >= Verdict::trip ? pump.first_out == row.word : holds(pump, cause);
}

/// These are only suspected at first, and trip also a pump that is off.
bool says_that_it_may_run(Cause cause) {
  return cause == Cause::stuck_on || cause == Cause::contact_unreachable;
}

std::string shown(const PumpStatus& pump) {
  std::string text = pump.state + ", contact " + pump.contact;
  if (pump.first_out) text += ", first out " + *pump.first_out;
  for (std::size_t at = 0; at < pump.held_by.size(); ++at)
    text += (at == 0 ? ", held by " : ", ") + pump.held_by[at];
  return text;
}

/// What the proof has made it count or lock out.
bool wants_reset(Cause cause) {
  const CauseRow& row = row_of(cause);
  return row.returns == Returns::counts || row.verdict == Verdict::lock_out || cause == Cause::no_feedback ||
         cause == Cause::flow_stuck;
}

void fail(ProofRow& row, std::string why) {
  row.result = ProofResult::failed;
  row.why = std::move(why);
}

}  // namespace

bool ProofTrial::break_off(ProofRow& row, std::string why) {
  row.why = why;
  broken_off_ = std::move(why);
  return false;
}

Duration ProofTrial::bound_of(Cause cause) const {
  return report::reaction_of(pump_, cause) + 2 * scan_ + kSlack;
}

/// True once it is clear that the row cannot be tried.
bool ProofTrial::waits_in_vain(ProofRow& row, const PumpStatus& seen, Instant& held_since) {
  const std::string held = holders(seen);
  const bool idle = seen.held_by.empty() && seen.state == to_word(PumpState::stopped);
  if (held.empty() && !idle) {
    held_since = field::now();
    return false;
  }
  if (field::now() - held_since < kHeldFor + 2 * pump_.contact_within) return false;
  row.why =
      held.empty() ? "its level asks for nothing: it is at the stop level or beyond" : "held by " + held;
  return true;
}

/// Off, rested, and with nothing against it but its mode.
bool ProofTrial::stand(ProofRow& row) {
  if (const auto said = session_.mode("off"); !said.done)
    return break_off(row, "it could not be switched off: " + said.text);
  Instant held_since = field::now();
  bool vain = false;
  const Duration bound = pump_.limits.off_at_least + pump_.limits.after_power_up + kLongestWait;
  const bool stands = session_.watch(bound, [&](const PumpStatus& seen) {
    if (is_off(seen) && !is_waiting(seen) && holders(seen).empty()) return true;
    return vain = !holders(seen).empty() && waits_in_vain(row, seen, held_since);
  });
  if (session_.is_lost()) return break_off(row, kLost);
  if (!stands) row.why = "it was not seen to stand";
  return stands && !vain;
}

/// In hand, and running. Hand is renewed while it stands; one that somebody else ended is not.
bool ProofTrial::start(ProofRow& row) {
  if (!stand(row)) return false;
  if (!session_.mode("hand").done) return break_off(row, "it could not be set to hand");
  Instant in_hand = field::now();
  Instant held_since = in_hand;
  bool vain = false;
  bool switched = false;
  const bool runs = session_.watch(kLongestWait, [&](const PumpStatus& seen) {
    if (seen.mode != to_word(Mode::hand)) return switched = true;
    if (seen.state == to_word(PumpState::running)) return true;
    if (field::now() - in_hand > pump_.hand_for / 2 && session_.mode("hand").done) in_hand = field::now();
    return vain = waits_in_vain(row, seen, held_since);
  });
  if (session_.is_lost()) return break_off(row, kLost);
  if (switched) return break_off(row, kTaken);
  if (!runs) row.why = "it was not seen to run";
  return runs && !vain;
}

bool ProofTrial::bring(ProofRow& row) {
  const std::string word{to_word(row.cause)};
  const auto said = row.cause == Cause::mode_off ? session_.mode("off") : session_.step(word);
  if (!said.done) row.why = said.text;
  return said.done;
}

void ProofTrial::try_running(ProofRow& row) {
  if (!start(row)) return;
  const Instant begun = field::now();
  if (!bring(row)) return;
  PumpStatus last;
  const bool stopped = session_.watch(bound_of(row.cause), [&](const PumpStatus& seen) {
    last = seen;
    return seen.order == "off";
  });
  row.took = field::now() - begun;
  row.seen = shown(last);
  if (!stopped) return fail(row, "it was not ordered off in time");
  if (!is_named(last, row.cause)) return fail(row, "something else stopped it");
  session_.mode("off");
  // A contact that is told to be unreadable is seen again when nothing is forced.
  if (row.cause == Cause::contact_unreachable) session_.step("free");
  const bool off = session_.watch(pump_.contact_within + 2 * scan_ + kSlack, [&](const PumpStatus& seen) {
    last = seen;
    return is_off(seen);
  });
  if (!off) return fail(row, "its contact is not confirmed off: treat the pump as live");
  row.seen += "; then its contact confirmed off";
  row.result = ProofResult::passed;
}

void ProofTrial::try_standing(ProofRow& row) {
  if (!stand(row) || !bring(row)) return;
  const Instant begun = field::now();
  if (!session_.mode("hand").done) {
    break_off(row, "it could not be set to hand");
    return;
  }
  PumpStatus last;
  bool started = false;
  bool named = false;
  const Duration bound = bound_of(row.cause);
  session_.watch(bound, [&](const PumpStatus& seen) {
    last = seen;
    started |= !is_off(seen);
    if (!named && is_named(seen, row.cause)) {
      named = true;
      row.took = field::now() - begun;
    }
    // What only holds must be seen to hold for as long as a start would have taken.
    return started || (named && row_of(row.cause).verdict == Verdict::lock_out);
  });
  row.seen = shown(last);
  if (started) return fail(row, "it started");
  if (!named) return fail(row, "it was not told as what holds it");
  row.result = ProofResult::passed;
}

void ProofTrial::try_blocked(ProofRow& row) {
  if (!stand(row) || !bring(row)) return;
  const Instant begun = field::now();
  PumpStatus last;
  const bool named = session_.watch(bound_of(row.cause), [&](const PumpStatus& seen) {
    last = seen;
    return says_that_it_may_run(row.cause) ? is_named(seen, row.cause) : holds(seen, row.cause);
  });
  row.seen = shown(last);
  if (!named) return fail(row, "it was not told as what holds it");
  row.took = field::now() - begun;
  row.result = ProofResult::passed;
}

/// Off before the force ends, so that nothing starts by it. A pump that is not ours any more is left alone.
void ProofTrial::clear_away(const ProofRow& row) {
  if (!session_.mode("off").done) return;
  session_.step("free");
  if (!wants_reset(row.cause)) return;
  // One that was stuck on is reset once it is seen to stand.
  session_.watch(kHeldFor, [&](const PumpStatus& seen) {
    return session_.reset().done || (seen.state != to_word(PumpState::locked_out) && holders(seen).empty());
  });
}

void ProofTrial::run(ProofRow& row) {
  if (blocked_)
    try_blocked(row);
  else if (forcing_of(pump_, row.cause) == Forcing::standing)
    try_standing(row);
  else
    try_running(row);
  if (session_.is_lost()) {
    broken_off_ = kLost;
    if (row.result == ProofResult::not_tried && row.why.empty()) row.why = broken_off_;
    return;
  }
  clear_away(row);
}

}  // namespace stillwell::command
