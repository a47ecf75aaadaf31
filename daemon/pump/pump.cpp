#include "stillwell/pump/pump.hpp"

#include "stillwell/pump/duty.hpp"
#include "stillwell/pump/evidence.hpp"
#include "stillwell/pump/motor_evidence.hpp"
#include "stillwell/pump/pump_set.hpp"

#include <algorithm>

namespace stillwell {
namespace {

/// In hand it runs whatever its start level says, up to its stop level and once (rule 17); blind, for its
/// time; in a set, when it is called.
bool demand_of(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs) {
  if (memory.blind) return true;
  if (!memory.in_hand) memory.had_enough = false;
  if (inputs.called && !memory.in_hand) return *inputs.called;
  const bool demand = asks(pump, memory.demand || (memory.in_hand && !memory.had_enough), inputs);
  if (memory.in_hand && knows_its_tank(pump, inputs) && !demand) memory.had_enough = true;
  return demand;
}

/// The objection that ends a run now, if any.
std::optional<Objection> stopper(const Pump& pump, const PumpMemory& memory,
                                 const std::vector<Objection>& objections, Instant now) {
  const bool young = now - memory.ordered_at < pump.limits.on_at_least;
  for (const Objection& objection : objections) {
    if (objection.verdict < Verdict::stop) break;
    if (!(young && row_of(objection.cause).waits_for_minimum_run)) return objection;
  }
  return std::nullopt;
}

/// Rule 10: a run that ended with its feedback missing counts, whatever else ended it too.
bool lacked_feedback(const std::vector<Objection>& objections) {
  return std::any_of(objections.begin(), objections.end(), [](const Objection& objection) {
    return objection.cause == Cause::no_feedback && objection.verdict >= Verdict::trip;
  });
}

/// Likewise of a run that was found dry.
std::optional<Cause> dry_cause(const std::vector<Objection>& objections) {
  for (const Objection& one : objections)
    if (row_of(one.cause).returns == Returns::counts && one.verdict >= Verdict::trip) return one.cause;
  return std::nullopt;
}

PumpEvent::Kind event_of(Verdict verdict) {
  if (verdict == Verdict::lock_out) return PumpEvent::Kind::lock_out;
  return verdict == Verdict::trip ? PumpEvent::Kind::trip : PumpEvent::Kind::stop;
}

/// Whether the motor may be running although nobody wants it to.
bool refuses_off(Cause cause) {
  return cause == Cause::stuck_on || cause == Cause::contact_unreachable;
}

/// The first cause stays first until the trip is over, whatever follows.
void record(PumpMemory& memory, Verdict verdict, Cause cause) {
  if (verdict >= Verdict::trip && !memory.tripped) {
    memory.first_out = cause;
    memory.tripped = true;
  }
  if (verdict == Verdict::lock_out && !memory.lock_out) memory.lock_out = cause;
  if (refuses_off(cause)) memory.refusal = cause;
}

void order(PumpMemory& memory, Order order, Instant now) {
  memory.order = order;
  memory.ordered_at = now;
  memory.was_closed = false;
  // Contact and feedback are judged anew against the new order; a contact out of reach stays so.
  memory.deviation.restart();
  if (!memory.refusal) memory.doubt.restart();
}

void start(PumpMemory& memory, const PumpInputs& inputs, std::vector<PumpEvent>& events) {
  const Instant now = inputs.now;
  order(memory, Order::on, now);
  std::erase_if(memory.starts, [now](Instant start) { return now - start >= kHour; });
  memory.starts.push_back(now);
  memory.noted_start.reset();
  memory.last_start = now;
  if (inputs.wall) memory.started_at = inputs.wall;
  ++memory.start_count;
  events.push_back({PumpEvent::Kind::start, std::nullopt});
}

void stop(PumpMemory& memory, const PumpInputs& inputs) {
  const Instant now = inputs.now;
  memory.run_time += now - memory.ordered_at;
  memory.last_stop = now;
  if (inputs.wall) memory.stopped_at = inputs.wall;
  order(memory, Order::off, now);
}

void while_on(const Pump& pump, PumpMemory& memory, const std::vector<Objection>& objections,
              PumpOutcome& outcome, bool hand_ended, const PumpInputs& inputs) {
  const Instant now = inputs.now;
  if (const auto objection = stopper(pump, memory, objections, now)) {
    if (lacked_feedback(objections)) ++memory.feedback_failures;
    if (const auto cause = dry_cause(objections))
      count_failure(memory.dry_run, pump.dry_run.retry, *cause, now);
    record(memory, objection->verdict, objection->cause);
    outcome.events.push_back({event_of(objection->verdict), objection->cause});
    stop(memory, inputs);
  } else if (!memory.demand) {
    outcome.events.push_back(
        {PumpEvent::Kind::stop, hand_ended ? std::optional{Cause::hand_ended} : std::nullopt});
    stop(memory, inputs);
  } else if (now - memory.ordered_at >= pump.dry_run.retry.proved_by) {
    memory.feedback_failures = 0;
    memory.dry_run.failures = 0;
    memory.reset_by_network = false;
  }
}

/// Nothing trips it any more. A lock-out is ended by a person, and that is told as the answer to a command.
void recover(PumpMemory& memory, std::vector<PumpEvent>& events) {
  if (memory.tripped && !memory.lock_out) events.push_back({PumpEvent::Kind::recover, memory.first_out});
  memory.tripped = false;
}

/// Rule 23: a start is on the disk before the contact closes, or a power cut just after it would forget it.
bool is_on_disk(PumpMemory& memory, const PumpInputs& inputs) {
  if (!inputs.durable) return true;
  if (!memory.noted_start) memory.noted_start = inputs.now;
  return *inputs.durable >= *memory.noted_start;
}

/// A stopped pump is not at peace: its contact or its contactor may refuse to be off, and that is told once.
void while_off(PumpMemory& memory, const std::vector<Objection>& objections, PumpOutcome& outcome,
               const PumpInputs& inputs) {
  const Verdict worst = objections.empty() ? Verdict::permit : objections.front().verdict;
  const auto refusal = std::ranges::find_if(objections, [](const Objection& objection) {
    return objection.verdict >= Verdict::trip && refuses_off(objection.cause);
  });
  if (refusal != objections.end()) {
    const auto [cause, verdict] = *refusal;
    if (memory.refusal != cause) outcome.events.push_back({event_of(verdict), cause});
    record(memory, verdict, cause);
    memory.last_stop = inputs.now;  // rule 11: possibly on until now, so its rest has not begun
  } else {
    memory.refusal.reset();
  }
  // Out of service its levels and floats are not asked: whether the trip is over shows afterwards.
  if (worst < Verdict::trip && !inputs.is_out) recover(memory, outcome.events);
  if (worst != Verdict::permit || !memory.demand || memory.lock_out)
    memory.noted_start.reset();
  else if (is_on_disk(memory, inputs))
    start(memory, inputs, outcome.events);
}

bool doubts_contact(const std::vector<Objection>& objections) {
  return std::ranges::find(objections, Cause::contact_unreachable, &Objection::cause) != objections.end();
}

PumpState state_of(const Pump& pump, const PumpMemory& memory, const PumpInputs& inputs,
                   const std::vector<Objection>& objections) {
  if (inputs.is_out) return PumpState::out_of_service;  // rule 15: it stands above a lock-out
  if (memory.lock_out) return PumpState::locked_out;
  if (memory.order == Order::on) {
    const bool runs = is_confirmed(pump, memory, inputs) &&
                      (!pump.feedback || (inputs.feedback && inputs.feedback->on.value_or(false)));
    return runs ? PumpState::running : PumpState::starting;
  }
  if (memory.tripped) return PumpState::tripped;
  if (memory.noted_start) return PumpState::starting;
  if (doubts_contact(objections)) return PumpState::waiting;  // rule 11: not off until that is seen
  if (memory.mode == Mode::off) return PumpState::stopped;
  const bool wants_to_run = memory.demand || !knows_its_tank(pump, inputs);
  return wants_to_run && !objections.empty() ? PumpState::waiting : PumpState::stopped;
}

/// What keeps it off, or is about to stop it: a lock-out first, also when its cause has long gone.
std::vector<Cause> holders(const PumpMemory& memory, const std::vector<Objection>& objections) {
  std::vector<Cause> causes;
  if (memory.lock_out) causes.push_back(*memory.lock_out);
  const Verdict least = memory.order == Order::on ? Verdict::stop : Verdict::hold_start;
  for (const Objection& objection : objections) {
    if (objection.verdict >= least && objection.cause != memory.lock_out) causes.push_back(objection.cause);
  }
  return causes;
}

/// Rule 17: hand ends by itself, in the mode before it. True in the scan in which it has ended: what it had
/// begun is not the level's wish.
bool end_hand(PumpMemory& memory, const PumpInputs& inputs) {
  if (memory.mode == Mode::hand && inputs.now >= memory.hand_until) memory.mode = memory.after_hand;
  const bool was_in_hand = memory.in_hand;
  memory.in_hand = mode_now(memory, inputs) == Mode::hand;
  const bool ended = was_in_hand && !memory.in_hand;
  if (ended) memory.demand = false;
  return ended;
}

/// Off, or in hand and off afterwards.
bool was_switched_off(const PumpMemory& memory) {
  return (memory.mode == Mode::hand ? memory.after_hand : memory.mode) == Mode::off;
}

/// Rule 12: it opens on a motor that is stuck on, and with all else that is released; it stays open until
/// that is reset.
Order switch_isolator(const Isolator& isolator, PumpMemory& memory, const PumpInputs& inputs) {
  const bool stuck = memory.lock_out == Cause::stuck_on || memory.refusal == Cause::stuck_on;
  const bool closed = memory.isolator == Order::on && follows_isolator(isolator, memory, inputs);
  const bool dropped = memory.isolator_was_closed && inputs.isolator && inputs.isolator->on == false;
  // One that dropped out is closed again by an order of its own, and only above a contact that is off.
  const bool waits = memory.isolator == Order::off && !memory.proved_off;
  const Order order = stuck || inputs.is_released || dropped || waits ? Order::off : Order::on;
  memory.isolator_was_closed = order == Order::on && (closed || memory.isolator_was_closed);
  if (order != memory.isolator) {
    memory.isolator_at = inputs.now;
    memory.isolator_doubt.restart();
  }
  return memory.isolator = order;
}

}  // namespace

Mode mode_now(const PumpMemory& memory, const PumpInputs& inputs) {
  if (memory.mode != Mode::automatic) return memory.mode;
  return inputs.selector_hand && inputs.selector_hand->on == true ? Mode::hand : Mode::automatic;
}

bool is_dry(const PumpMemory& memory) {
  return memory.dry_run.cause || (memory.lock_out && row_of(*memory.lock_out).returns == Returns::counts);
}

std::optional<TankIndex> suction_of(const Pump& pump) {
  return pump.duty == Duty::drain ? std::optional{pump.tank} : pump.source;
}

std::optional<TankIndex> delivery_of(const Pump& pump) {
  return pump.duty == Duty::fill ? std::optional{pump.tank} : pump.receiver;
}

PumpOutcome solve(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs) {
  const Instant now = inputs.now;
  if (!memory.began) memory.began = now;
  const bool hand_ended = end_hand(memory, inputs);

  PumpOutcome outcome;
  if (memory.blind) memory.demand = false;  // it ran for want of a level, and no level asked for it
  const auto objections = object(pump, memory, inputs);
  memory.demand = demand_of(pump, memory, inputs);
  if (memory.order == Order::on) {
    while_on(pump, memory, objections, outcome, hand_ended, inputs);
  } else {
    while_off(memory, objections, outcome, inputs);
  }

  const bool confirmed = is_confirmed(pump, memory, inputs);
  const bool follows = !pump.feedback || (inputs.feedback && inputs.feedback->on == true);
  memory.was_closed |= memory.order == Order::on && confirmed;
  memory.proved_off =
      memory.order == Order::off && confirmed && is_seen_standing(pump, inputs) && !memory.moves_unasked;
  memory.proved_on = memory.order == Order::on && confirmed && follows;
  outcome.isolator = pump.isolator ? switch_isolator(*pump.isolator, memory, inputs) : Order::off;

  outcome.order = memory.order;
  outcome.state = state_of(pump, memory, inputs, objections);
  outcome.held_by = holders(memory, objections);
  memory.passes_turn = passes_on(outcome.held_by);
  return outcome;
}

bool set_mode(PumpMemory& memory, Mode mode, Origin origin) {
  const bool network = origin == Origin::network;
  const bool local_off = was_switched_off(memory) && !memory.off_by_network;
  if (network && local_off && mode != Mode::off) return false;
  memory.off_by_network = network && mode == Mode::off && !local_off;
  memory.mode = mode;
  return true;
}

bool set_hand(PumpMemory& memory, Instant until, Origin origin) {
  const bool network = origin == Origin::network;
  const bool local_off = was_switched_off(memory) && !memory.off_by_network;
  if (network && (local_off || memory.mode == Mode::hand)) return false;
  if (memory.mode != Mode::hand) memory.after_hand = memory.mode;
  memory.mode = Mode::hand;
  memory.hand_until = until;
  return true;
}

bool reset(PumpMemory& memory, Origin origin) {
  const bool network = origin == Origin::network;
  if (network && (!memory.lock_out || memory.reset_by_network || memory.released)) return false;
  if (memory.lock_out == Cause::stuck_on && (network || !memory.proved_off)) return false;
  const bool has_failed = memory.feedback_failures > 0 || memory.dry_run.failures > 0;
  if (!memory.lock_out && !memory.released && !has_failed) return false;
  memory.released = false;
  memory.reset_by_network = network;
  memory.feedback_failures = 0;  // a person says that it is mended
  memory.dry_run.failures = 0;
  memory.dry_run.cause.reset();
  if (!memory.lock_out) return true;  // a trip that stands goes on
  memory.lock_out.reset();
  memory.refusal.reset();  // a motor that still runs unasked is found, told and locked out anew
  memory.tripped = false;
  return true;
}

}  // namespace stillwell
