#include "stillwell/pump/force.hpp"

#include "stillwell/pump/duty.hpp"
#include "stillwell/pump/motor_evidence.hpp"

#include <algorithm>
#include <array>

namespace stillwell {
namespace {

/// A pump as a force finds it.
struct Target {
  PumpInputs& inputs;
  const Pump& pump;
  Order order;

  [[nodiscard]] bool runs() const { return order == Order::on; }
  [[nodiscard]] bool fills() const { return pump.duty == Duty::fill; }
};

struct ForceRow {
  Cause cause;
  Forcing forcing;
  void (*apply)(const Target&);
  std::string_view why_not;
};

bool is(const std::optional<SwitchState>& input, bool on) {
  return input && input->on == on;
}
void say(std::optional<SwitchState>& input, bool on) {
  if (input && input->on) input->on = on;
}
void lose(std::optional<SwitchState>& input) {
  input->on.reset();
  input->reason = Reason::no_answer;
}

/// Whether everything that shows the motor and its water agrees with the order: what disagrees is about to
/// speak, and a force that makes it unreadable would silence it.
bool is_seen_to_follow(const Target& it) {
  if (!it.runs()) return is_seen_standing(it.pump, it.inputs) && !is(it.inputs.flow, true);
  const auto& power = it.pump.dry_run.power;
  if (power && !(it.inputs.load && it.inputs.load->load && *it.inputs.load->load >= power->below))
    return false;
  return (!it.pump.feedback || is(it.inputs.feedback, true)) &&
         (!it.pump.dry_run.flow || is(it.inputs.flow, true));
}

void motor_runs_unasked(const Target& it) {
  if (it.runs()) return;
  if (it.pump.feedback) return say(it.inputs.feedback, true);
  const auto& power = it.pump.dry_run.power;
  if (!power) return say(it.inputs.flow, true);
  if (it.inputs.load && it.inputs.load->load)
    it.inputs.load->load = std::max(*it.inputs.load->load, power->below);
}
void contact_is_lost(const Target& it) {
  if (!is_seen_to_follow(it)) return;
  it.inputs.contact.on.reset();
  it.inputs.contact.fault = Reason::no_answer;
}
void isolator_is_lost(const Target& it) {
  if (!it.inputs.isolator) return;
  it.inputs.isolator->on.reset();
  it.inputs.isolator->fault = Reason::no_answer;
}
void selector_says_off(const Target& it) {
  say(it.inputs.selector_off, true);
}
/// Where the tank is kept by floats, one that hangs higher is on and the one below it is not.
void tank_is_lost(const Target& it) {
  if (it.pump.floats && knows_its_tank(it.pump, it.inputs)) {
    it.inputs.floats->lower.on = false;
    it.inputs.floats->upper.on = true;
  }
  it.inputs.tank = Level::bad(Reason::no_answer, it.inputs.tank.at);
}
void far_end_is_lost(const Target& it) {
  auto& level = it.fills() ? it.inputs.source : it.inputs.receiver;
  if (level) level = Level::bad(Reason::no_answer, level->at);
}
/// The first that says nothing against it: what does must go on being heard.
void switch_is_lost(const Target& it) {
  PumpInputs& inputs = it.inputs;
  for (auto* input : {&inputs.float_trip, &inputs.source_float, &inputs.selector_off, &inputs.selector_hand})
    if (is(*input, false)) return lose(*input);
  if (!is_seen_to_follow(it)) return;
  for (auto* input : {&inputs.feedback, &inputs.flow})
    if (is(*input, it.runs())) return lose(*input);
  if (it.pump.when_unknown || !it.pump.floats || !knows_its_tank(it.pump, it.inputs)) return;
  it.inputs.floats->lower.on.reset();
  it.inputs.floats->lower.reason = Reason::no_answer;
}
void meter_is_lost(const Target& it) {
  if (!is_seen_to_follow(it) || !it.inputs.load) return;
  it.inputs.load->load.reset();
  it.inputs.load->reason = Reason::no_answer;
}
void suction_is_empty(const Target& it) {
  auto* level = it.fills() ? (it.inputs.source ? &*it.inputs.source : nullptr) : &it.inputs.tank;
  if (level != nullptr && level->usable()) level->level = Metres{0.0};
}
void suction_float_is_on(const Target& it) {
  say(it.inputs.source_float, true);
}
void delivery_is_full(const Target& it) {
  auto* level = it.fills() ? &it.inputs.tank : (it.inputs.receiver ? &*it.inputs.receiver : nullptr);
  if (level == nullptr || !level->usable() || !it.pump.high_trip) return;
  level->level = std::max(*level->level, *it.pump.high_trip);
}
/// Of a tank that is kept by floats the high one, with the water that must be under it.
void float_is_on(const Target& it) {
  if (it.pump.float_trip) return say(it.inputs.float_trip, true);
  auto& floats = it.inputs.floats;
  if (!it.pump.floats || !knows_its_tank(it.pump, it.inputs) || !floats->high) return;
  for (SwitchState* one : {&floats->lower, &floats->upper, &*floats->high})
    one->on = true;
}
void motor_does_not_follow(const Target& it) {
  if (it.runs()) say(it.inputs.feedback, false);
}
void nothing_flows(const Target& it) {
  if (it.runs()) say(it.inputs.flow, false);
}
void motor_takes_nothing(const Target& it) {
  if (it.runs() && it.inputs.load && it.inputs.load->load) it.inputs.load->load = MotorLoad{0.0};
}
void peer_is_dry(const Target& it) {
  it.inputs.peer_is_dry = true;
}
void needs_are_gone(const Target& it) {
  it.inputs.has_needs = false;
}
void flow_is_stuck(const Target& it) {
  if (!it.runs()) say(it.inputs.flow, true);
}
void other_has_started(const Target& it) {
  it.inputs.may_join = false;
}
void nothing(const Target& /*it*/) {}

using enum Forcing;

constexpr std::array kForces{
    ForceRow{Cause::stuck_on, standing, motor_runs_unasked, ""},
    ForceRow{Cause::contact_unreachable, running, contact_is_lost, ""},
    ForceRow{Cause::isolator, running, isolator_is_lost, ""},
    ForceRow{Cause::selector, running, selector_says_off, ""},
    ForceRow{Cause::tank_unknown, running, tank_is_lost, ""},
    ForceRow{Cause::source_unknown, running, far_end_is_lost, ""},
    ForceRow{Cause::switch_unknown, running, switch_is_lost, ""},
    ForceRow{Cause::meter_unknown, running, meter_is_lost, ""},
    ForceRow{Cause::source_low, running, suction_is_empty, ""},
    ForceRow{Cause::source_float, running, suction_float_is_on, ""},
    ForceRow{Cause::tank_high, running, delivery_is_full, ""},
    ForceRow{Cause::source_high, running, delivery_is_full, ""},
    ForceRow{Cause::float_switch, running, float_is_on, ""},
    ForceRow{Cause::no_feedback, running, motor_does_not_follow, ""},
    ForceRow{Cause::no_flow, running, nothing_flows, ""},
    ForceRow{Cause::no_power, running, motor_takes_nothing, ""},
    ForceRow{
        Cause::no_rise, none, nothing,
        "a level held still would hide the one at which the pump must stop; shut the valve behind the pump "
        "for "
        "as long as the rise may take"},
    ForceRow{Cause::over_time, none, nothing, "time alone brings it about; let the pump run for run_at_most"},
    ForceRow{Cause::peer_dry, running, peer_is_dry, ""},
    ForceRow{Cause::needs, running, needs_are_gone, ""},
    ForceRow{Cause::mode_off, command, nothing, ""},
    ForceRow{Cause::service_out, command, nothing, ""},
    ForceRow{Cause::command, command, nothing, ""},
    ForceRow{Cause::hand_ended, none, nothing,
             "time alone brings it about; leave the pump in hand for hand_for"},
    ForceRow{Cause::window, none, nothing,
             "it does not count in hand, in which a proof runs; look at the pump in auto outside its hours"},
    ForceRow{Cause::flow_stuck, standing, flow_is_stuck, ""},
    ForceRow{Cause::power_up, none, nothing,
             "time alone brings it about; start the daemon anew while the level asks for the pump"},
    ForceRow{Cause::stagger, standing, other_has_started, ""},
    ForceRow{Cause::rest, none, nothing, "time alone brings it about; the proof waits for it after each run"},
    ForceRow{Cause::starts, none, nothing,
             "starts alone bring it about; the proof waits when they are spent"},
};

constexpr bool is_one_for_each() {
  for (std::size_t at = 0; at < kForces.size(); ++at)
    if (static_cast<std::size_t>(kForces[at].cause) != at) return false;
  return kForces.back().cause == Cause::starts;
}
static_assert(is_one_for_each(), "one row for each cause, in the order of the cause table");

const ForceRow& row_for(Cause cause) {
  return kForces.at(static_cast<std::size_t>(cause));
}

bool reads_its_tank_alone(const Pump& pump) {
  return pump.floats && !pump.float_trip && !pump.source_float && !pump.feedback && !pump.dry_run.flow &&
         !pump.selector.off && !pump.selector.hand;
}

/// Of a sump that must not flood, an unknown level starts a run after a minute: that is no step towards a
/// trip.
bool would_start_it(const Pump& pump, Cause cause) {
  if (!pump.when_unknown) return false;
  return cause == Cause::tank_unknown || (cause == Cause::switch_unknown && reads_its_tank_alone(pump));
}

/// A level that is made to move would hide the one that stops it.
bool is_seen_by_level_alone(const Pump& pump, Cause cause) {
  return cause == Cause::stuck_on && !has_witness(pump);
}

}  // namespace

Forcing forcing_of(const Pump& pump, Cause cause) {
  const bool cannot = would_start_it(pump, cause) || is_seen_by_level_alone(pump, cause);
  return cannot ? Forcing::none : row_for(cause).forcing;
}

std::string_view why_not_forced(const Pump& pump, Cause cause) {
  if (would_start_it(pump, cause))
    return "an unknown level makes it run blind; unplug its gauge or its floats and look";
  if (is_seen_by_level_alone(pump, cause))
    return "its level alone shows it; hold its contactor in by hand, with the pump off, and look";
  return row_for(cause).why_not;
}

bool is_found_while_standing(Cause cause) {
  return cause != Cause::no_feedback && cause != Cause::no_flow && cause != Cause::no_power;
}

void force(PumpInputs& inputs, const Pump& pump, Order order, Cause cause) {
  if (forcing_of(pump, cause) != Forcing::none) row_for(cause).apply({inputs, pump, order});
}

}  // namespace stillwell
