#pragma once
// One pump on a bench, scanned by hand. Its contact and its motor obey unless a test says otherwise, and its
// waters are well.

#include "stillwell/pump/pump.hpp"

#include <algorithm>
#include <chrono>
#include <utility>
#include <vector>

namespace support {

inline stillwell::Level known(double metres, double uncertainty = 0.0) {
  using namespace stillwell;
  return {.level = Metres{metres},
          .uncertainty = Metres{uncertainty},
          .quality = uncertainty > 0.0 ? Quality::uncertain : Quality::good,
          .reason = Reason::none};
}
inline stillwell::Level unknown() {
  return stillwell::Level::bad(stillwell::Reason::stale, {});
}

inline stillwell::SwitchState is_on(bool on) {
  return {on, stillwell::Reason::none, {}};
}
inline stillwell::SwitchState unreadable() {
  return {{}, stillwell::Reason::no_answer, {}};
}

/// Fills from 1.0 m to 2.0 m, trips at 2.2 m; suction trips below 0.3 m and is well again from 0.5 m.
inline stillwell::Pump fill_pump() {
  using namespace stillwell;
  using namespace std::chrono_literals;
  Pump pump;
  pump.id = "lift";
  pump.duty = Duty::fill;
  pump.source = TankIndex{1};
  pump.start_level = Metres{1.0};
  pump.stop_level = Metres{2.0};
  pump.high_trip = Metres{2.2};
  pump.source_below = Metres{0.3};
  pump.source_clear = Metres{0.5};
  pump.float_trip = SwitchIndex{0};
  pump.source_float = SwitchIndex{1};
  pump.feedback = Feedback{SwitchIndex{2}, 3s};
  pump.contact_within = 3s;
  pump.limits = {.on_at_least = 60s,
                 .off_at_least = 3min,
                 .run_at_most = 2h,
                 .after_power_up = 30s,
                 .starts_per_hour = 8};
  return pump;
}

/// Empties from 1.0 m down to 0.5 m, its own tank being its suction (0.3 m, well from 0.4 m); its receiver
/// stops it at 2.2 m.
inline stillwell::Pump drain_pump() {
  using namespace stillwell;
  Pump pump = fill_pump();
  pump.id = "drain";
  pump.duty = Duty::drain;
  pump.source.reset();
  pump.receiver = TankIndex{1};
  pump.start_level = Metres{1.0};
  pump.stop_level = Metres{0.5};
  pump.source_below = Metres{0.3};
  pump.source_clear = Metres{0.4};
  return pump;
}

/// What floats say of water that has reached so many of them; the pump's tank has them instead of a gauge.
inline stillwell::FloatStates reached(int count) {
  return {.lower = is_on(count >= 1), .upper = is_on(count >= 2), .high = is_on(count >= 3)};
}
inline stillwell::Pump by_floats(stillwell::Pump pump) {
  using namespace stillwell;
  pump.floats = TankFloats{SwitchIndex{6}, SwitchIndex{7}, SwitchIndex{8}};
  pump.dry_run.rise.reset();
  (pump.duty == Duty::fill ? pump.high_trip : pump.source_below).reset();
  return pump;
}

inline stillwell::MeterState takes(double load) {
  return {stillwell::MotorLoad{load}, stillwell::Reason::none, {}};
}
inline stillwell::MeterState meter_lost() {
  return {{}, stillwell::Reason::no_answer, {}};
}

/// With everything that a pump can have: a panel, an isolator, a flow switch (10 s) and a meter (350 W for
/// 5 s). Its rests after a dry run are 30 min and doubled, three times.
inline stillwell::Pump equipped(stillwell::Pump pump) {
  using namespace stillwell;
  using namespace std::chrono_literals;
  pump.selector = {SwitchIndex{3}, SwitchIndex{4}};
  pump.isolator = Isolator{ContactIndex{1}, 3s};
  pump.dry_run.flow = FlowGuard{SwitchIndex{5}, 10s};
  pump.dry_run.power = PowerGuard{MeterIndex{0}, MotorLoad{350.0}, 5s};
  return pump;
}

class PumpBench {
 public:
  explicit PumpBench(stillwell::Pump pump) : rules{std::move(pump)} {
    inputs.tank = at_rest();
    if (rules.floats) stand_at(fills() ? 2 : 0);
    if (rules.source) inputs.source = known(1.5);
    if (rules.receiver) inputs.receiver = known(1.0);
    if (rules.float_trip) inputs.float_trip = is_on(false);
    if (rules.source_float) inputs.source_float = is_on(false);
    if (rules.selector.off) inputs.selector_off = is_on(false);
    if (rules.selector.hand) inputs.selector_hand = is_on(false);
  }

  stillwell::Pump rules;
  stillwell::PumpMemory memory;
  stillwell::PumpInputs inputs;
  stillwell::PumpOutcome last;
  std::vector<stillwell::PumpEvent> story;  ///< every event so far
  stillwell::Instant now{std::chrono::hours{1}};
  bool contact_obeys = true;  ///< read back, fresh, as last ordered
  bool motor_obeys = true;    ///< the feedback too
  bool isolator_obeys = true;
  bool moves_water = true;  ///< flow and load follow the motor

  /// Levels that ask for a run, that let it go on, and that ask for nothing.
  [[nodiscard]] stillwell::Level asking() const { return known(fills() ? 0.9 : 1.1); }
  [[nodiscard]] stillwell::Level between() const { return known(fills() ? 1.5 : 0.8); }
  [[nodiscard]] stillwell::Level at_rest() const { return known(fills() ? 2.1 : 0.45); }
  /// Of a pump whose tank is kept by floats: the water has reached so many.
  void stand_at(int count) {
    inputs.tank = {};
    inputs.floats = reached(count);
  }
  [[nodiscard]] bool fills() const { return rules.duty == stillwell::Duty::fill; }
  [[nodiscard]] bool on() const { return last.order == stillwell::Order::on; }

  const stillwell::PumpOutcome& scan(stillwell::Duration later = std::chrono::seconds{1}) {
    using namespace stillwell;
    now += later;
    const bool ordered_on = memory.order == Order::on;
    if (contact_obeys) inputs.contact = {now, ordered_on, Reason::none};
    if (motor_obeys && rules.feedback) inputs.feedback = SwitchState{ordered_on, Reason::none, now};
    if (rules.isolator && isolator_obeys)
      inputs.isolator = ContactSample{now, memory.isolator == Order::on, Reason::none};
    if (rules.dry_run.flow && moves_water) inputs.flow = is_on(ordered_on);
    if (rules.dry_run.power && moves_water) inputs.load = takes(ordered_on ? 800.0 : 0.0);
    inputs.now = now;
    last = solve(rules, memory, inputs);
    story.insert(story.end(), last.events.begin(), last.events.end());
    return last;
  }
  /// Scans a second apart until the time has passed.
  void scan_for(stillwell::Duration time) {
    for (const auto end = now + time; now < end;)
      scan(std::min<stillwell::Duration>(std::chrono::seconds{1}, end - now));
  }
  /// Past power-up and rest, with nothing to do.
  PumpBench& rested() {
    scan_for(rules.limits.after_power_up + rules.limits.off_at_least + std::chrono::seconds{2});
    return *this;
  }
  /// Running, past its minimum run, with room to go on.
  PumpBench& running() {
    rested();
    inputs.tank = asking();
    scan();
    inputs.tank = between();
    scan_for(rules.limits.on_at_least + std::chrono::seconds{2});
    return *this;
  }
  [[nodiscard]] bool held_by(stillwell::Cause cause) const {
    return std::find(last.held_by.begin(), last.held_by.end(), cause) != last.held_by.end();
  }
};

}  // namespace support
