#include "stillwell/report/limits.hpp"

#include "stillwell/quantity/listed.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/reading/load_unit.hpp"
#include "stillwell/report/figures.hpp"

#include <algorithm>

namespace stillwell::report {
namespace {

constexpr double kSecondsAnHour = 3600.0;

/// "15 % (0.330 m)"
std::string level_text(const Tank& tank, Metres level) {
  return plain(percent_of(tank, level).value()) + " % (" + to_text(level) + ")";
}

/// One pump and the things that it is wired to, by their names.
struct Wired {
  const Model& model;
  const Pump& pump;

  [[nodiscard]] const Tank& tank(TankIndex index) const { return model.tanks.at(index.at); }
  [[nodiscard]] const std::string& input(SwitchIndex index) const { return model.switches.at(index.at).id; }
  [[nodiscard]] const std::string& contact() const { return contact(pump.contact); }
  [[nodiscard]] const std::string& contact(ContactIndex index) const {
    return model.contacts.at(index.at).id;
  }
  [[nodiscard]] const std::string& meter() const { return model.meters.at(pump.dry_run.power->meter.at).id; }
  [[nodiscard]] bool fills() const { return pump.duty == Duty::fill; }
};

std::string no_level_of(const Wired& it, TankIndex index) {
  const Tank& tank = it.tank(index);
  std::vector<std::string> gauges;
  for (const TankGauge& mounted : tank.gauges)
    gauges.push_back(it.model.gauges.at(mounted.gauge.at).id);
  return "no level of " + tank.id + (gauges.empty() ? "" : " (" + listed(gauges) + ")");
}

/// Of its tank, from the lowest up.
std::vector<std::string> floats_of(const Wired& it) {
  const auto& floats = it.pump.floats;
  if (!floats) return {};
  std::vector<std::string> ids{it.input(floats->lower), it.input(floats->upper)};
  if (floats->high) ids.push_back(it.input(*floats->high));
  return ids;
}

std::string unread_switches(const Wired& it) {
  const Pump& pump = it.pump;
  std::vector<std::string> inputs = floats_of(it);
  // No rule of a drain pump relies on the high one.
  if (pump.floats && pump.floats->high && !it.fills()) inputs.pop_back();
  for (const auto& input : {pump.float_trip, pump.source_float, pump.selector.off, pump.selector.hand})
    if (input) inputs.push_back(it.input(*input));
  if (pump.feedback) inputs.push_back(it.input(pump.feedback->input));
  if (pump.dry_run.flow) inputs.push_back(it.input(pump.dry_run.flow->input));
  return "cannot read " + listed(inputs);
}

std::string trip_floats(const Wired& it) {
  std::vector<std::string> ids;
  if (it.pump.float_trip) ids.push_back(it.input(*it.pump.float_trip));
  if (it.fills() && it.pump.floats && it.pump.floats->high) ids.push_back(it.input(*it.pump.floats->high));
  return listed(ids) + " on";
}

std::string source_low(const Wired& it) {
  const Tank& tank = it.tank(*suction_of(it.pump));
  const Metres below = *it.pump.source_below;
  return tank.id + " below " + level_text(tank, below) + " until " +
         level_text(tank, it.pump.source_clear.value_or(below));
}

std::string too_high(const Wired& it) {
  const Metres trip = *it.pump.high_trip;
  const Tank& tank = it.tank(it.fills() ? it.pump.tank : *it.pump.receiver);
  const Metres clears = it.fills() ? std::min(it.pump.stop_level, trip) : trip;
  return tank.id + " at or above " + level_text(tank, trip) + " until below " + level_text(tank, clears);
}

std::string load_text(const Wired& it) {
  const PowerGuard& guard = *it.pump.dry_run.power;
  return plain(guard.below.value()) + " " +
         std::string(unit_of(it.model.meters.at(guard.meter.at).rules.kind));
}

/// Its contact is off, and what shows the motor or the water shows it at work.
std::string stuck_on(const Wired& it) {
  const Pump& pump = it.pump;
  std::vector<std::string> signs;
  if (pump.feedback)
    signs.push_back(it.input(pump.feedback->input) + " on for " + to_text(pump.feedback->within));
  if (pump.dry_run.power)
    signs.push_back(it.meter() + " at or above " + load_text(it) + " for " +
                    to_text(pump.dry_run.power->lasts));
  if (pump.dry_run.flow)
    signs.push_back(it.input(pump.dry_run.flow->input) + " on for " + to_text(pump.dry_run.flow->within));
  if (pump.unasked)
    signs.push_back(it.tank(pump.tank).id + (it.fills() ? " rises" : " falls") + " by " +
                    to_text(pump.unasked->at_least) + " within " + to_text(pump.unasked->within));
  return listed(signs) + " while " + it.contact() + " is off";
}

std::string no_feedback(const Wired& it) {
  const Feedback& feedback = *it.pump.feedback;
  return it.input(feedback.input) + " off for " + to_text(feedback.within) + " while " + it.contact() +
         " is on; the second time in a row locks out";
}

/// What a dry cause counts to (rule 10).
std::string tries(const Wired& it) {
  const Retry& retry = it.pump.dry_run.retry;
  return "; rests " + to_text(retry.after) + ", each time twice as long, locks out after " +
         std::to_string(retry.times) + " more";
}
std::string no_flow(const Wired& it) {
  const FlowGuard& guard = *it.pump.dry_run.flow;
  return it.input(guard.input) + " off for " + to_text(guard.within) + tries(it);
}
std::string no_power(const Wired& it) {
  return it.meter() + " below " + load_text(it) + " for " + to_text(it.pump.dry_run.power->lasts) + tries(it);
}
std::string no_rise(const Wired& it) {
  const RiseGuard& guard = *it.pump.dry_run.rise;
  return it.tank(it.pump.tank).id + (it.fills() ? " rises" : " falls") + " by less than " +
         to_text(guard.at_least) + " within " + to_text(guard.within) + tries(it);
}

/// Nobody knows the level: it stays off, but for the blind runs of a sump that must not flood.
std::string tank_unknown(const Wired& it) {
  const auto& blind = it.pump.when_unknown;
  const std::string what = it.pump.floats ? "floats that contradict each other: " + listed(floats_of(it))
                                          : no_level_of(it, it.pump.tank);
  return what + (blind ? "; but runs " + to_text(blind->run_for) + " every " + to_text(blind->every) : "");
}

std::string needs(const Wired& it) {
  std::vector<std::string> ids;
  for (const PumpIndex one : it.pump.needs)
    ids.push_back(it.model.pumps.at(one.at).id);
  return "not proved on: " + listed(ids);
}

std::string out_of_service(const Wired& it) {
  std::vector<std::string> things{it.pump.id, it.tank(it.pump.tank).id};
  for (const auto& other : {it.fills() ? it.pump.source : std::nullopt, it.pump.receiver})
    if (other) things.push_back(it.tank(*other).id);
  return "service out of " + listed(things);
}

std::string time_of_day(int minute) {
  const auto two_digits = [](int value) { return (value < 10 ? "0" : "") + std::to_string(value); };
  return two_digits(minute / 60) + ":" + two_digits(minute % 60);
}

std::string outside_windows(const Wired& it) {
  std::vector<std::string> windows;
  for (const DayWindow& window : it.pump.allowed)
    windows.push_back(time_of_day(window.from) + "-" + time_of_day(window.to));
  return "outside " + listed(windows) + (it.fills() ? "; also while the clock is not trusted" : "");
}

std::string limit_text(const Wired& it, Cause cause) {
  const PumpLimits& limits = it.pump.limits;
  switch (cause) {
    case Cause::stuck_on: return stuck_on(it);
    case Cause::contact_unreachable:
      return it.contact() + " not confirmed for " + to_text(it.pump.contact_within);
    case Cause::isolator: return it.contact(it.pump.isolator->contact) + " not confirmed closed";
    case Cause::selector: return it.input(*it.pump.selector.off) + " on";
    case Cause::tank_unknown: return tank_unknown(it);
    case Cause::source_unknown: return no_level_of(it, *(it.fills() ? it.pump.source : it.pump.receiver));
    case Cause::switch_unknown: return unread_switches(it);
    case Cause::meter_unknown: return "cannot read " + it.meter();
    case Cause::source_low: return source_low(it);
    case Cause::source_float: return it.input(*it.pump.source_float) + " on";
    case Cause::tank_high:
    case Cause::source_high: return too_high(it);
    case Cause::float_switch: return trip_floats(it);
    case Cause::no_feedback: return no_feedback(it);
    case Cause::no_flow: return no_flow(it);
    case Cause::no_power: return no_power(it);
    case Cause::no_rise: return no_rise(it);
    case Cause::over_time: return "runs longer than " + to_text(limits.run_at_most);
    case Cause::peer_dry: return "another pump on " + it.tank(*suction_of(it.pump)).id + " has run dry";
    case Cause::needs: return needs(it);
    case Cause::mode_off: return "mode off";
    case Cause::service_out: return out_of_service(it);
    case Cause::command: return "`stillwell release`";
    case Cause::hand_ended: return "after " + to_text(it.pump.hand_for) + " in hand";
    case Cause::window: return outside_windows(it);
    case Cause::flow_stuck: return it.input(it.pump.dry_run.flow->input) + " on while it is off";
    case Cause::power_up: return "for " + to_text(limits.after_power_up) + " after start-up";
    case Cause::stagger: return "for " + to_text(it.model.stagger) + " after another pump has started";
    case Cause::rest: return "for " + to_text(limits.off_at_least) + " after a stop";
    case Cause::starts: return std::to_string(limits.starts_per_hour) + " starts within an hour";
  }
  return {};
}

const Tank& tank_of(const Model& model, const Alarm& alarm) {
  return model.tanks.at(alarm.tank()->at);
}

}  // namespace

std::string limit_of(const Model& model, const Pump& pump, Cause cause) {
  return limit_text({model, pump}, cause);
}

std::string raised_by(const Model& model, const Alarm& alarm) {
  if (is_of_level(alarm.kind))
    return (is_low(alarm.kind) ? "below " : "above ") + level_text(tank_of(model, alarm), alarm.at);
  if (is_of_rate(alarm.kind)) return "faster than " + to_text(alarm.faster_than);
  if (alarm.kind == AlarmKind::leak)
    return "night flow of more than " + plain(alarm.more_than.value() * kSecondsAnHour) + " L/h";
  return std::string(row_of(alarm.kind).text);
}

std::string ended_by(const Model& model, const Alarm& alarm) {
  if (is_of_level(alarm.kind))
    return (is_low(alarm.kind) ? "from " : "down to ") + level_text(tank_of(model, alarm), alarm.clears_at);
  if (is_of_rate(alarm.kind)) return "down to " + to_text(alarm.clears_below);
  return "when it is over";
}

}  // namespace stillwell::report
