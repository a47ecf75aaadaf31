#include "stillwell/pump/evidence.hpp"

#include "stillwell/pump/duty.hpp"
#include "stillwell/pump/motor_evidence.hpp"

#include <algorithm>
#include <utility>

namespace stillwell {
namespace {

/// A level that is lost so shortly, and before the first readings, is no reason to run a pump dry. Common
/// practice, no source.
constexpr Duration kGrace = std::chrono::minutes{1};
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
                         (!pump.feedback || is_known(inputs.feedback)) &&
                         (!pump.dry_run.flow || is_known(inputs.flow));
  scales.add(Cause::switch_unknown, all_known);
}

/// Rule 15: the panel. One whose wire cannot be read could say off.
void weigh_selector(const Pump& pump, const PumpInputs& inputs, Scales& scales) {
  for (const auto& [has, input] : {std::pair{pump.selector.off, inputs.selector_off},
                                   std::pair{pump.selector.hand, inputs.selector_hand}}) {
    if (has && !(input && input->on)) scales.add(Cause::switch_unknown);
  }
  const auto is_on = [](const std::optional<SwitchState>& input) { return input && input->on == true; };
  scales.add(Cause::selector, !(pump.selector.off && is_on(inputs.selector_off)));
}

/// A sump that must not flood is emptied blind, so long and so often, while nobody knows its level.
bool runs_blind(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs) {
  const bool lost = !knows_its_tank(pump, inputs) && !inputs.is_out;  // out of service nobody looks
  if (!lost) memory.unknown_since.reset();
  if (!lost || !pump.when_unknown) return false;
  if (!memory.unknown_since) memory.unknown_since = inputs.now;
  const Duration blind = inputs.now - *memory.unknown_since - kGrace;
  return blind >= Duration{0} && blind % pump.when_unknown->every < pump.when_unknown->run_for;
}

/// Fill: the suction. A drain pump's suction is its own tank. Compared at the low edge (rule 2).
void weigh_suction(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  const bool own_tank = pump.duty == Duty::drain;
  // From unwatched, or from floats: guarded by other means.
  if (!own_tank && (!pump.source || !pump.source_is_measured)) return;
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
  // A clock that was just set starts nothing; what runs goes on by the time that it shows.
  const bool is_settled = pump.allowed.empty() || memory.order == Order::on || !inputs.clock_stepped;
  scales.add(Cause::window, may_run_now(pump, inputs) && is_settled);
  scales.add(Cause::power_up, inputs.now - began >= limits.after_power_up);
  scales.add(Cause::stagger, memory.order == Order::on || inputs.may_join);
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

void weigh_process(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  weigh_tank(pump, memory, inputs, scales);
  weigh_suction(pump, memory, inputs, scales);
  weigh_high(pump, memory, inputs, scales);
  weigh_switches(pump, inputs, scales);
  weigh_selector(pump, inputs, scales);
  weigh_dry_run(pump, memory, inputs, scales);
  scales.add(Cause::peer_dry, !inputs.peer_is_dry);
  scales.add(Cause::needs, inputs.has_needs);
}

}  // namespace

std::vector<Objection> object(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs) {
  Scales scales{mode_now(memory, inputs) == Mode::hand};
  weigh_contact(pump, memory, inputs, scales);
  weigh_motor(pump, memory, inputs, scales);
  weigh_isolator(pump, memory, inputs, scales);
  scales.add(Cause::service_out, !inputs.is_out);
  memory.blind = runs_blind(pump, memory, inputs);
  // What levels and floats show while a person works there is followed, and holds nothing against it.
  Scales unheard{true};
  weigh_process(pump, memory, inputs, inputs.is_out ? unheard : scales);
  scales.add(Cause::mode_off, memory.mode != Mode::off);
  scales.add(Cause::command, !inputs.is_released);
  weigh_time(pump, memory, inputs, scales);
  return scales.worst_first();
}

}  // namespace stillwell
