// Findings about alarms that people would learn to ignore.
#include "stillwell/config/findings.hpp"
#include "stillwell/quantity/units.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

/// Alarms that an owner sets himself; the others are always there, with priorities of ours.
bool is_set_by_hand(const Alarm& alarm) {
  return is_of_level(alarm.kind) || is_of_rate(alarm.kind) || alarm.kind == AlarmKind::leak;
}

/// Watches a number that ripples; a leak is judged once a night.
bool can_chatter(const Alarm& alarm) {
  if (alarm.after > Duration{0} || alarm.clear_after > Duration{0}) return false;
  if (is_of_level(alarm.kind)) return alarm.clears_at == alarm.at;
  return is_of_rate(alarm.kind) && alarm.clears_below == alarm.faster_than;
}

bool moves(const Pump& pump, AlarmKind kind, TankIndex tank) {
  return (kind == AlarmKind::falling ? suction_of(pump) : delivery_of(pump)) == tank;
}

/// By itself, with nobody drawing, where its tank is widest: no run of it moves the water more slowly.
void compare(const Pump& pump, const Tank& tank, const Alarm& alarm, Findings& findings) {
  const auto slowest = slowest_by(pump, tank);
  if (!slowest || slowest->speed <= alarm.faster_than) return;
  const auto [speed, area] = *slowest;
  findings.warn(
      "rate-alarm-in-pump-range", {"tanks", alarm.id},
      "it rises at " + to_text(alarm.faster_than) + ", and pump " + pump.id + " alone moves the level by " +
          to_text(speed) + " (" + to_text(*pump.flow_rate) + " over " + fixed(area.value(), 2) +
          " m2): it comes with every long run of the pump, and people learn to ignore it. An alarm is "
          "something a person must act on (the idea of ISA-18.2 / IEC 62682): let it rise above " +
          to_text(speed));
}

}  // namespace

void find_nuisance_alarms(const Configuration& configuration, Findings& findings) {
  for (const Alarm& alarm : configuration.model.alarms) {
    if (!can_chatter(alarm)) continue;
    findings.warn("nuisance-alarm", {"tanks", alarm.id},
                  "it has neither deadband nor delay: each ripple at its set point is a new alarm. For a "
                  "level EEMUA 191 is quoted with a deadband of 2 % of the range; ISA-18.2 is remembered "
                  "with 5 % and a delay of 60 s: sources differ, none says zero. Give it a deadband, or at "
                  "least after or clear_after");
  }
}

void find_mostly_high_priority(const Configuration& configuration, Findings& findings) {
  constexpr std::ptrdiff_t kFewest = 4;  // of fewer no distribution can be told
  const auto& alarms = configuration.model.alarms;
  const auto all = std::count_if(alarms.begin(), alarms.end(), is_set_by_hand);
  const auto high = std::count_if(alarms.begin(), alarms.end(), [](const Alarm& alarm) {
    return is_set_by_hand(alarm) && alarm.priority == Priority::high;
  });
  if (all < kFewest || high * 2 <= all) return;
  findings.note(
      "mostly-high-priority", {"site", configuration.model.id},
      std::to_string(high) + " of the " + std::to_string(all) +
          " alarms of its tanks have priority high: where everything is urgent nothing is. Published "
          "figures are about 80 % low, 15 % medium, 5 % high (ISA-18.2 / IEC 62682, and EEMUA 191 as "
          "quoted by HSE CHIS6): keep high for what cannot wait until the morning");
}

void find_rate_alarms_in_pump_range(const Configuration& configuration, Findings& findings) {
  const Model& model = configuration.model;
  for (const Alarm& alarm : model.alarms) {
    const TankIndex* tank = alarm.tank();
    if (tank == nullptr || !is_of_rate(alarm.kind) || !model.tanks.at(tank->at).shape) continue;
    for (const Pump& pump : model.pumps) {
      if (moves(pump, alarm.kind, *tank)) compare(pump, model.tanks.at(tank->at), alarm, findings);
    }
  }
}

}  // namespace stillwell::config
