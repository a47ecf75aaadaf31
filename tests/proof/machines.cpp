#include "proof/machines.hpp"

#include <initializer_list>

namespace proof {
namespace {

using namespace std::chrono_literals;
using support::known;
using support::unknown;

const std::vector<Shows> kEveryShow{Shows::as_ordered, Shows::contrary, Shows::nothing, Shows::late};
const std::vector<Shows> kOrLost{Shows::as_ordered, Shows::contrary, Shows::nothing};

/// Without anything that a machine does not ask about.
Pump plain(Pump pump) {
  pump.source.reset();
  pump.receiver.reset();
  pump.high_trip.reset();
  pump.source_below.reset();
  pump.source_clear.reset();
  pump.float_trip.reset();
  pump.source_float.reset();
  pump.feedback.reset();
  pump.contact_within = 1s;
  pump.limits = {.on_at_least = 2s, .off_at_least = 2s, .after_power_up = 1s};
  pump.dry_run.retry = {.after = 2s, .times = 2, .proved_by = 3s};
  return pump;
}

/// Of support::fill_pump(): asks at 1.0 m, stops at 2.0 m, trips at 2.2 m; suction trips below 0.3 m, clears
/// at 0.5 m.
const std::vector<Level> kTankWhole{known(0.9), known(1.5), known(2.0),
                                    known(2.2), unknown(),  known(1.95, 0.1)};
const std::vector<Level> kTankShort{known(0.9), known(1.5), known(2.0)};
const std::vector<Level> kSourceWhole{known(0.2), known(0.4), known(0.5), unknown(), known(0.35, 0.1)};

Machine levels() {
  Pump pump = support::fill_pump();
  const Pump bare = plain(pump);
  pump.float_trip.reset();
  pump.source_float.reset();
  pump.feedback.reset();
  pump.contact_within = bare.contact_within;
  pump.limits = bare.limits;
  return {.name = "levels",
          .pump = pump,
          .alphabet = {.tank = kTankWhole,
                       .far_end = kSourceWhole,
                       .contact = {Shows::as_ordered, Shows::nothing},
                       .person = {Person::nobody, Person::off, Person::automatic}},
          .horizon = 4s};
}

Machine contacts() {
  Pump pump = plain(support::fill_pump());
  // So long that a reply from before the order is still fresh when the pump may start again.
  pump.contact_within = 3s;
  pump.limits.off_at_least = 1s;
  return {.name = "contacts",
          .pump = pump,
          .alphabet = {.tank = {known(0.9), known(2.0)},
                       .contact = kEveryShow,
                       .person = {Person::nobody, Person::off, Person::automatic, Person::reset}},
          .horizon = 4s};
}

Machine motors() {
  Pump pump = plain(support::fill_pump());
  pump.feedback = Feedback{SwitchIndex{2}, 1s};
  return {.name = "motors",
          .pump = pump,
          .alphabet = {.tank = {known(0.9), known(2.0)},
                       .contact = {Shows::as_ordered, Shows::nothing},
                       .motor = kOrLost,
                       .person = {Person::nobody, Person::reset}},
          .horizon = 4s};
}

Machine hours() {
  Pump pump = plain(support::fill_pump());
  pump.limits = {
      .on_at_least = 2s, .off_at_least = 3s, .run_at_most = 4s, .after_power_up = 2s, .starts_per_hour = 2};
  pump.allowed = {{22 * 60, 6 * 60}};
  return {.name = "hours",
          .pump = pump,
          .alphabet = {.tank = {known(0.9), known(2.0)},
                       .minute = {23 * 60, 12 * 60, std::nullopt},
                       .person = {Person::nobody, Person::reset},
                       .later = {1s, 1h}},
          .horizon = 6s};
}

Machine blind() {
  Pump pump = plain(support::drain_pump());
  pump.receiver = TankIndex{1};
  pump.high_trip = Metres{2.2};
  pump.source_below = Metres{0.3};
  pump.source_clear = Metres{0.4};
  pump.when_unknown = BlindRuns{.run_for = 3s, .every = 7s};
  return {.name = "blind",
          .pump = pump,
          .alphabet = {.tank = {known(1.1), known(0.8), known(0.5), known(0.2), unknown()},
                       .far_end = {known(1.0), known(2.2), unknown()},
                       .is_out = {false, true}},
          .horizon = 4s};
}

/// A sump with three floats, each on, off or lost.
Machine floats() {
  Pump pump = plain(support::drain_pump());
  pump.floats = TankFloats{SwitchIndex{0}, SwitchIndex{1}, SwitchIndex{2}};
  pump.when_unknown = BlindRuns{.run_for = 3s, .every = 7s};
  std::vector<std::optional<FloatStates>> states;
  const std::vector<SwitchState> each{support::is_on(true), support::is_on(false), support::unreadable()};
  for (const SwitchState& lower : each)
    for (const SwitchState& upper : each)
      for (const SwitchState& high : each)
        states.emplace_back(FloatStates{lower, upper, high});
  return {.name = "floats",
          .pump = pump,
          .alphabet = {.tank = {unknown()},
                       .floats = states,
                       .is_out = {false, true},
                       .person = {Person::nobody, Person::off, Person::automatic}},
          .horizon = 4s};
}

Machine flow() {
  Pump pump = plain(support::fill_pump());
  pump.dry_run.flow = FlowGuard{SwitchIndex{5}, 1s};
  pump.dry_run.retry.after = 3s;  // beyond the rest of every start
  return {.name = "flow",
          .pump = pump,
          .alphabet = {.tank = {known(0.9), known(2.0)},
                       .flow = kOrLost,
                       .person = {Person::nobody, Person::reset, Person::network_reset}},
          .horizon = 14s};
}

Machine power() {
  Pump pump = plain(support::fill_pump());
  pump.dry_run.power = PowerGuard{MeterIndex{0}, MotorLoad{350.0}, 1s};
  pump.dry_run.retry.after = 3s;  // beyond the rest of every start
  return {.name = "power",
          .pump = pump,
          .alphabet = {.tank = {known(0.9), known(2.0)},
                       .load = kOrLost,
                       .person = {Person::nobody, Person::reset, Person::network_reset}},
          .horizon = 14s};
}

/// Flow and power at once.
Machine dry() {
  Machine both = flow();
  both.name = "dry";
  both.pump.dry_run.power = power().pump.dry_run.power;
  both.alphabet.tank = {known(0.9)};
  both.alphabet.load = kOrLost;
  return both;
}

Machine people() {
  Pump pump = plain(support::fill_pump());
  pump.selector = {SwitchIndex{3}, SwitchIndex{4}};
  return {.name = "people",
          .pump = pump,
          .alphabet = {.tank = kTankShort,
                       .panel_off = {false, true, std::nullopt},
                       .panel_hand = {false, true},
                       .is_out = {false, true},
                       .person = {Person::nobody, Person::off, Person::automatic, Person::hand,
                                  Person::network_off, Person::network_automatic, Person::release,
                                  Person::reset, Person::network_reset}},
          .horizon = 5s};
}

Machine disk() {
  Pump pump = plain(support::fill_pump());
  pump.limits.starts_per_hour = 2;
  return {.name = "disk",
          .pump = pump,
          .alphabet = {.tank = {known(0.9), known(2.0)},
                       .contact = {Shows::as_ordered, Shows::nothing},
                       .disk = {0s, 1s, 3s},
                       .person = {Person::nobody, Person::off, Person::automatic},
                       .later = {1s, 1h}},
          .horizon = 5s};
}

Machine fellows() {
  Pump pump = plain(support::fill_pump());
  pump.source = TankIndex{1};
  pump.feedback = Feedback{SwitchIndex{2}, 1s};
  // So long that a reply from before the order is still fresh.
  pump.isolator = Isolator{ContactIndex{1}, 3s};
  pump.needs = {PumpIndex{1}};
  return {.name = "fellows",
          .pump = pump,
          .alphabet = {.tank = {known(0.9)},
                       .motor = {Shows::as_ordered, Shows::contrary},
                       .isolator = kEveryShow,
                       .peer_is_dry = {false, true},
                       .has_needs = {true, false},
                       .may_join = {true, false},
                       .person = {Person::nobody, Person::reset}},
          .horizon = 5s};
}

/// A tank that goes on rising although the pump is off: 0.1 m a second, within 2 s.
Machine movement() {
  Pump pump = plain(support::fill_pump());
  pump.unasked = RiseGuard{MetresPerSecond{0.1}, 2s};
  return {.name = "movement",
          .pump = pump,
          .alphabet = {.tank = {known(0.9), known(1.2), known(1.3), known(1.4), known(1.5), known(1.6),
                                known(1.7), known(1.8), known(2.0), unknown()},
                       .contact = {Shows::as_ordered, Shows::nothing},
                       .is_helped = {false, true},
                       .person = {Person::nobody, Person::reset}},
          .horizon = 6s};
}

/// Levels, contact, feedback and people at once.
Machine whole() {
  Machine whole = levels();
  whole.name = "whole";
  whole.pump.feedback = Feedback{SwitchIndex{2}, 1s};
  whole.alphabet.tank = {known(0.9), known(2.0), unknown()};
  whole.alphabet.far_end = {known(0.2), known(0.5)};
  whole.alphabet.motor = kOrLost;
  whole.alphabet.person = {Person::nobody, Person::off, Person::automatic, Person::reset};
  return whole;
}

}  // namespace

std::vector<Machine> machines() {
  return {levels(), contacts(), motors(), hours(), blind(),   floats(),
          flow(),   power(),    people(), disk(),  fellows(), movement()};
}

std::vector<Machine> large_machines() {
  return {dry(), whole()};
}

}  // namespace proof
