// Findings about set points: alarms among each other, and alarms against the levels of a pump.
#include "stillwell/config/findings.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::config {
namespace {

/// The level alarms of a tank from the bottom up, as their kinds should stand.
std::vector<const Alarm*> level_alarms(const Model& model, TankIndex tank) {
  std::vector<const Alarm*> alarms;
  for (const Alarm& alarm : model.alarms) {
    if (alarm.of == AlarmSubject{tank} && is_of_level(alarm.kind)) alarms.push_back(&alarm);
  }
  std::sort(alarms.begin(), alarms.end(), [](const Alarm* a, const Alarm* b) { return a->kind < b->kind; });
  return alarms;
}

/// Whether an alarm, once risen, still stands at the other's set point.
bool in_deadband(const Alarm& below, const Alarm& above) {
  if (is_low(below.kind) && is_low(above.kind)) return below.clears_at > above.at;
  if (!is_low(below.kind)) return above.clears_at < below.at;
  return below.clears_at > above.clears_at;
}

void compare(const Alarm& below, const Alarm& above, Findings& findings) {
  if (below.at >= above.at) {
    findings.warn(
        "alarms-out-of-order", {"tanks", above.id},
        "it rises at " + to_text(above.at) + " and " + below.id + " at " + to_text(below.at) +
            ". Set points stand in the order low-low, low, high, high-high, so that each says more than the "
            "one before it (the idea of ISA-18.2 / IEC 62682): move one of them");
  } else if (in_deadband(below, above)) {
    findings.warn(
        "set-points-in-deadband", {"tanks", above.id},
        "it rises at " + to_text(above.at) + " and clears at " + to_text(above.clears_at) + ", " + below.id +
            " rises at " + to_text(below.at) + " and clears at " + to_text(below.clears_at) +
            ": one stands while the other has long changed. Keep set points outside each other's deadband "
            "(common practice, no source): narrow a deadband or move the set points apart");
  }
}

/// The levels between which a pump keeps its tank.
std::pair<Metres, Metres> working_range(const Pump& pump) {
  return std::minmax(pump.start_level, pump.stop_level);
}

void compare(const Pump& pump, const Alarm& alarm, Findings& findings) {
  const auto [lowest, highest] = working_range(pump);
  const bool fill = pump.duty == Duty::fill;
  const bool reached = is_low(alarm.kind) ? lowest <= alarm.at : highest >= alarm.at;
  if (!reached) return;
  // A fill pump stops above and starts below; a drain pump the other way round.
  const bool at_stop = is_low(alarm.kind) != fill;
  const Metres level = is_low(alarm.kind) ? lowest : highest;
  const std::string code = std::string(at_stop ? "stop" : "start") +
                           (is_low(alarm.kind) ? "-below-low" : "-above-high") + "-alarm";
  findings.warn(
      code, {"pumps", pump.id},
      std::string(at_stop ? "it stops" : "it starts") + " at " + to_text(level) + " and alarm " + alarm.id +
          " rises at " + to_text(alarm.at) +
          ": the alarm comes in ordinary running, and people learn to ignore it. An alarm is something a "
          "person must act on (the idea of ISA-18.2 / IEC 62682): keep the pump's levels between the alarms");
}

}  // namespace

void find_alarms_out_of_order(const Configuration& configuration, Findings& findings) {
  for (std::size_t tank = 0; tank < configuration.model.tanks.size(); ++tank) {
    const std::vector<const Alarm*> alarms = level_alarms(configuration.model, {tank});
    for (std::size_t i = 1; i < alarms.size(); ++i)
      compare(*alarms[i - 1], *alarms[i], findings);
  }
}

void find_alarms_in_pump_range(const Configuration& configuration, Findings& findings) {
  const Model& model = configuration.model;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const auto set = set_of(model.sets, {at});
    if (set && model.sets[*set].pumps.front() != PumpIndex{at}) continue;  // said of the first of them
    for (const Alarm* alarm : level_alarms(model, model.pumps[at].tank))
      compare(model.pumps[at], *alarm, findings);
  }
}

}  // namespace stillwell::config
