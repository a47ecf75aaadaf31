#include "stillwell/pump/evidence.hpp"

#include <algorithm>

namespace stillwell {
namespace {

constexpr Duration kHour = std::chrono::hours{1};
/// Rule 10: the first missing feedback may have been a dip in the supply; the second is a fault.
constexpr int kFeedbackFailures = 2;

class Scales {
 public:
  void add(Cause cause) { add(cause, row_of(cause).verdict); }
  void add(Cause cause, Verdict verdict) { objections_.push_back({cause, verdict}); }
  void suspect(Cause cause) { add(cause, Verdict::hold_start); }
  void add(Cause cause, bool permitted) {
    if (!permitted) add(cause);
  }

  std::vector<Objection> worst_first() {
    std::sort(objections_.begin(), objections_.end(), [](const Objection& a, const Objection& b) {
      return a.verdict != b.verdict ? a.verdict > b.verdict : a.cause < b.cause;
    });
    return std::move(objections_);
  }

 private:
  std::vector<Objection> objections_;
};

/// Rule 11: an order is believed only when two unlike reads agree with it. A start needs a confirmed off.
void weigh_contact(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  const bool doubtful = !is_confirmed(pump, memory, inputs);
  if (memory.doubt.step(doubtful, pump.contact_within, inputs.now)) {
    scales.add(Cause::contact_unreachable);
  } else if (doubtful) {
    scales.suspect(Cause::contact_unreachable);
  }
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

void weigh_switches(const Pump& pump, const PumpInputs& inputs, Scales& scales) {
  const auto is_off = [](const std::optional<SwitchState>& input) {
    return input && input->on && !*input->on;
  };
  const auto is_known = [](const std::optional<SwitchState>& input) { return input && input->on; };
  if (pump.source_float && is_known(inputs.source_float))
    scales.add(Cause::source_float, is_off(inputs.source_float));
  if (pump.float_trip && is_known(inputs.float_trip))
    scales.add(Cause::float_switch, is_off(inputs.float_trip));
  const bool all_known = (!pump.source_float || is_known(inputs.source_float)) &&
                         (!pump.float_trip || is_known(inputs.float_trip)) &&
                         (!pump.feedback || is_known(inputs.feedback));
  scales.add(Cause::switch_unknown, all_known);
}

/// Fill: the suction. A drain pump's suction is its own tank. Compared at the low edge (rule 2).
void weigh_suction(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  const bool own_tank = pump.duty == Duty::drain;
  if (!own_tank && !pump.source) return;  // from: unwatched, guarded by other means
  const Level level = own_tank ? inputs.tank : inputs.source.value_or(Level{});
  if (!level.usable()) {
    if (!own_tank) scales.add(Cause::source_unknown);
    return;  // for its own tank, tank-unknown says it
  }
  if (!pump.source_below) return;
  const Metres limit =
      memory.source_is_low ? pump.source_clear.value_or(*pump.source_below) : *pump.source_below;
  const bool enough = level.lowest() >= limit;
  memory.source_is_low = !enough;
  scales.add(Cause::source_low, enough);
}

/// Rule 7: the high trip is independent of the stop level. Compared at the high edge; once tripped it clears
/// below the stop level (fill), so that a wave does not restart the pump.
void weigh_high(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  const bool fill = pump.duty == Duty::fill;
  if (!fill && !pump.receiver) return;
  const Level level = fill ? inputs.tank : inputs.receiver.value_or(Level{});
  if (!level.usable()) {
    if (!fill) scales.add(Cause::source_unknown);
    return;
  }
  if (!pump.high_trip) return;
  const Metres limit = memory.is_high && fill ? std::min(pump.stop_level, *pump.high_trip) : *pump.high_trip;
  const bool room = level.highest() < limit;
  memory.is_high = !room;
  scales.add(fill ? Cause::tank_high : Cause::source_high, room);
}

bool is_open(const DayWindow& window, int minute) {
  if (window.from <= window.to) return minute >= window.from && minute < window.to;
  return minute >= window.from || minute < window.to;
}

/// Rule 21: while the clock is not trusted windows are closed, except for drain pumps.
bool may_run_now(const Pump& pump, const PumpInputs& inputs) {
  if (pump.allowed.empty()) return true;
  if (!inputs.minute_of_day) return pump.duty == Duty::drain;
  return std::any_of(pump.allowed.begin(), pump.allowed.end(),
                     [&](const DayWindow& window) { return is_open(window, *inputs.minute_of_day); });
}

void weigh_time(const Pump& pump, const PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  const PumpLimits& limits = pump.limits;
  const Instant began = *memory.began;
  scales.add(Cause::window, may_run_now(pump, inputs));
  scales.add(Cause::power_up, inputs.now - began >= limits.after_power_up);
  if (memory.order == Order::on) {
    const bool in_time =
        limits.run_at_most == Duration{0} || inputs.now - memory.ordered_at <= limits.run_at_most;
    scales.add(Cause::over_time, in_time);
    return;
  }
  // Rule 22: nobody knows when it last ran before we began, so the rest starts anew in full.
  scales.add(Cause::rest, inputs.now - memory.last_stop.value_or(began) >= limits.off_at_least);
  const auto recent = std::count_if(memory.starts.begin(), memory.starts.end(),
                                    [&](Instant start) { return inputs.now - start < kHour; });
  scales.add(Cause::starts, limits.starts_per_hour == 0 || recent < limits.starts_per_hour);
}

}  // namespace

bool is_confirmed(const Pump& pump, const PumpMemory& memory, const PumpInputs& inputs) {
  const ContactSample& contact = inputs.contact;
  if (!contact.on || contact.at < memory.ordered_at) return false;
  return inputs.now - contact.at <= pump.contact_within && *contact.on == (memory.order == Order::on);
}

std::vector<Objection> object(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs) {
  Scales scales;
  weigh_contact(pump, memory, inputs, scales);
  weigh_feedback(pump, memory, inputs, scales);
  scales.add(Cause::service_out, !inputs.is_out);
  if (!inputs.is_out) {  // what levels and floats show while a person works there says nothing
    scales.add(Cause::tank_unknown, inputs.tank.usable());
    weigh_suction(pump, memory, inputs, scales);
    weigh_high(pump, memory, inputs, scales);
    weigh_switches(pump, inputs, scales);
  }
  scales.add(Cause::mode_off, memory.mode != Mode::off);
  weigh_time(pump, memory, inputs, scales);
  return scales.worst_first();
}

}  // namespace stillwell
