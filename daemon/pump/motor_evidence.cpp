#include "stillwell/pump/motor_evidence.hpp"

#include "stillwell/pump/evidence.hpp"

namespace stillwell {
namespace {

/// Rule 10: the first missing feedback may have been a dip in the supply; the second is a fault.
constexpr int kFeedbackFailures = 2;

bool is_known(const std::optional<SwitchState>& input) {
  return input && input->on;
}
bool is_known(const std::optional<MeterState>& meter) {
  return meter && meter->load;
}

/// Rule 12: the read-back proves the module; only the feedback proves the contactor. Judged against a
/// confirmed contact, so that a module that did not switch is not taken for a contactor that did not follow.
void weigh_feedback(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  if (!pump.feedback || !inputs.feedback || !inputs.feedback->on) return memory.deviation.pause();
  const bool ordered_on = memory.order == Order::on;
  const bool deviates = is_confirmed(pump, memory, inputs) && *inputs.feedback->on != ordered_on;
  const bool for_long = memory.deviation.step(deviates, pump.feedback->within, inputs.now);
  const Cause cause = ordered_on ? Cause::no_feedback : Cause::stuck_on;
  const bool once_more = ordered_on && memory.feedback_failures + 1 >= kFeedbackFailures;
  if (for_long) {
    scales.add(cause, once_more ? Verdict::lock_out : row_of(cause).verdict);
  } else if (deviates) {
    scales.suspect(cause);
  }
}

/// What is seen at work while the contact is confirmed off: the motor by its load, or the water by the flow
/// switch, which is believed alone only where nothing shows that the motor stands.
struct Unasked {
  bool seen = false;
  bool is_flow = false;
};
Unasked seen_at_work(const Pump& pump, const PumpInputs& inputs) {
  const auto& power = pump.dry_run.power;
  const bool load_known = power && is_known(inputs.load);
  if (load_known && *inputs.load->load >= power->below) return {.seen = true};
  const bool flows = pump.dry_run.flow && is_known(inputs.flow) && *inputs.flow->on;
  const bool stands = load_known || (pump.feedback && is_known(inputs.feedback) && !*inputs.feedback->on);
  return {.seen = flows && !stands, .is_flow = flows};
}

/// Rule 12: stuck-on is also seen in motor power, or in flow. Rule 8: a flow switch that says flow while the
/// pump stands could not tell a dry run.
void weigh_unasked(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  if (memory.order == Order::on) return memory.unasked.restart();
  const Unasked unasked = seen_at_work(pump, inputs);
  scales.add(Cause::flow_stuck, !unasked.is_flow);
  const Duration within = unasked.is_flow      ? pump.dry_run.flow->within
                          : pump.dry_run.power ? pump.dry_run.power->lasts
                                               : Duration{0};
  const bool seen = unasked.seen && is_confirmed(pump, memory, inputs);
  if (memory.unasked.step(seen, within, inputs.now)) {
    scales.add(Cause::stuck_on);
  } else if (seen) {
    scales.suspect(Cause::stuck_on);
  }
}

/// Fill: upwards. Drain: downwards.
Metres gained(const Pump& pump, Metres from, Metres to) {
  return pump.duty == Duty::fill ? to - from : from - to;
}

/// Rule 12: its tank moves on although it is off, where nothing else moves it that way. Within each time it
/// must stay below the step; what nobody can see meanwhile ends no suspicion. An uncertain level may move by
/// its doubt alone.
void weigh_movement(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  if (!pump.unasked) return;
  if (memory.order == Order::on) memory.moves_unasked = false;
  auto& mark = memory.unasked_mark;
  if (memory.order == Order::on || inputs.is_helped || inputs.tank.quality != Quality::good ||
      !is_confirmed(pump, memory, inputs)) {
    mark.reset();
  } else {
    const Metres level = *inputs.tank.level;
    const bool moved = mark && gained(pump, mark->level, level) >= step_of(*pump.unasked);
    const bool over = mark && inputs.now - mark->at > pump.unasked->within;
    if (moved || over) memory.moves_unasked = moved;
    if (moved || over || !mark || gained(pump, mark->level, level) < Metres{0.0})
      mark = Mark{level, inputs.now};
  }
  scales.add(Cause::stuck_on, !memory.moves_unasked);
}

/// Whether the tank has not followed within its time. Its mark moves on with each step that it did.
bool lags(const Pump& pump, const RiseGuard& guard, DryRunMemory& memory, const PumpInputs& inputs) {
  if (!inputs.tank.usable()) {  // tank-unknown says it
    memory.mark.reset();
    return false;
  }
  const Metres level = *inputs.tank.level;
  const bool moved = memory.mark && gained(pump, memory.mark->level, level) >= step_of(guard);
  if (!memory.mark || moved) memory.mark = Mark{level, inputs.now};
  return inputs.now - memory.mark->at >= guard.within;
}

void weigh_water(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  DryRunMemory& dry = memory.dry_run;
  const auto found = [&](Cause cause) {
    scales.add(cause, is_last_try(dry, pump.dry_run.retry) ? Verdict::lock_out : row_of(cause).verdict);
  };
  if (const auto& flow = pump.dry_run.flow; flow && is_known(inputs.flow)) {
    if (dry.trickle.step(!*inputs.flow->on, flow->within, inputs.now)) found(Cause::no_flow);
  }
  if (const auto& power = pump.dry_run.power; power && is_known(inputs.load)) {
    if (dry.idle.step(*inputs.load->load < power->below, power->lasts, inputs.now)) found(Cause::no_power);
  }
  if (const auto& rise = pump.dry_run.rise; rise && lags(pump, *rise, dry, inputs)) found(Cause::no_rise);
}

}  // namespace

bool is_confirmed(const Pump& pump, const PumpMemory& memory, const PumpInputs& inputs) {
  const ContactSample& contact = inputs.contact;
  if (!contact.on || contact.at < memory.ordered_at) return false;
  return inputs.now - contact.at <= pump.contact_within && *contact.on == (memory.order == Order::on);
}

/// Rule 11: an order is believed only when two unlike reads agree with it. A start needs a confirmed off.
void weigh_contact(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  const bool doubtful = !is_confirmed(pump, memory, inputs);
  // It dropped out: a module without supply, a refresh that came too late. Closed again at once it would be a
  // start without a rest.
  const bool dropped =
      memory.was_closed && inputs.contact.on == false && inputs.contact.at >= memory.ordered_at;
  if (memory.doubt.step(doubtful, pump.contact_within, inputs.now) || dropped) {
    scales.add(Cause::contact_unreachable);
  } else if (doubtful) {
    scales.suspect(Cause::contact_unreachable);
  }
}

bool has_witness(const Pump& pump) {
  return pump.feedback || pump.dry_run.power || pump.dry_run.flow;
}

bool is_seen_standing(const Pump& pump, const PumpInputs& inputs) {
  const auto& power = pump.dry_run.power;
  const auto& flow = pump.dry_run.flow;
  const auto is_off = [](const std::optional<SwitchState>& input) { return is_known(input) && !*input->on; };
  if (pump.feedback && !is_off(inputs.feedback)) return false;
  if (power && !(is_known(inputs.load) && *inputs.load->load < power->below)) return false;
  return pump.feedback || power || !flow || is_off(inputs.flow);
}

void weigh_motor(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  weigh_feedback(pump, memory, inputs, scales);
  weigh_unasked(pump, memory, inputs, scales);
  weigh_movement(pump, memory, inputs, scales);
}

bool follows_isolator(const Isolator& isolator, const PumpMemory& memory, const PumpInputs& inputs) {
  const auto& seen = inputs.isolator;
  return seen && seen->on == (memory.isolator == Order::on) && seen->at >= memory.isolator_at &&
         inputs.now - seen->at <= isolator.within;
}

void weigh_isolator(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  if (!pump.isolator) return;
  const bool ordered_closed = memory.isolator == Order::on;
  const bool follows = follows_isolator(*pump.isolator, memory, inputs);
  memory.isolator_lost = memory.isolator_doubt.step(!follows, pump.isolator->within, inputs.now);
  scales.add(Cause::isolator, ordered_closed && follows);
}

void weigh_dry_run(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  DryRunMemory& dry = memory.dry_run;
  if (pump.dry_run.power) scales.add(Cause::meter_unknown, is_known(inputs.load));
  if (memory.order == Order::on) return weigh_water(pump, memory, inputs, scales);
  dry.mark.reset();
  dry.idle.restart();
  dry.trickle.restart();
  if (dry.cause && inputs.now < dry.rests_until) return scales.add(*dry.cause);
  dry.cause.reset();  // it has rested, and may try again
}

}  // namespace stillwell
