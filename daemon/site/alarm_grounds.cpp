// The numbers and the cause behind an alarm, for its text.
#include "stillwell/quantity/units.hpp"
#include "stillwell/site/alarms.hpp"
#include "stillwell/site/consequences.hpp"
#include "stillwell/site/float_levels.hpp"
#include "stillwell/site/words.hpp"

namespace stillwell {
namespace {

void append(std::string& list, const std::string& item) {
  list += (list.empty() ? "" : ", ") + item;
}

std::optional<Cause> cause_of(const PumpMemory& pump, AlarmKind kind) {
  switch (kind) {
    case AlarmKind::tripped: return pump.first_out;
    case AlarmKind::locked_out: return pump.lock_out;
    case AlarmKind::stuck_on: return Cause::stuck_on;
    case AlarmKind::no_feedback: return Cause::no_feedback;
    default: return std::nullopt;
  }
}

/// "Cistern: level 0.290 m (14.5 %), limit 0.300 m".
std::string level_against(const AlarmSight& sight, TankIndex index, const std::optional<Metres>& limit) {
  const Tank& tank = sight.model.tanks[index.at];
  const std::string level = name_of(tank.name, tank.id) + ": level " + describe(tank, sight.levels[index.at]);
  return limit ? level + ", limit " + to_text(*limit) : level;
}

/// "Sump: sump-stop off, sump-start on"; empty for a tank with gauges.
std::string floats_of(const AlarmSight& sight, TankIndex index) {
  const Tank& tank = sight.model.tanks[index.at];
  if (!tank.floats) return {};
  return name_of(tank.name, tank.id) + ": " + tell_floats(sight.model, sight.memory, *tank.floats, sight.now);
}

/// The numbers behind what stopped a pump; empty for a cause that has none.
std::string numbers_of(const AlarmSight& sight, const Pump& pump, Cause cause) {
  const auto far_end = pump.duty == Duty::drain ? pump.receiver : pump.source;
  const auto suction = suction_of(pump);
  switch (cause) {
    case Cause::tank_unknown:
      return pump.floats ? floats_of(sight, pump.tank) : level_against(sight, pump.tank, {});
    case Cause::switch_unknown:
    case Cause::float_switch: return floats_of(sight, pump.tank);
    case Cause::source_unknown: return far_end ? level_against(sight, *far_end, {}) : "";
    case Cause::source_low: return suction ? level_against(sight, *suction, pump.source_below) : "";
    case Cause::tank_high: return level_against(sight, pump.tank, pump.high_trip);
    case Cause::source_high: return far_end ? level_against(sight, *far_end, pump.high_trip) : "";
    case Cause::over_time: return "limit " + to_text(pump.limits.run_at_most);
    case Cause::no_feedback:
    case Cause::stuck_on: return pump.feedback ? "for more than " + to_text(pump.feedback->within) : "";
    default: return {};
  }
}

/// "header-top 1.500 m, header-side 1.800 m, limit 0.050 m".
std::string gauges_of(const AlarmSight& sight, const Tank& tank) {
  std::string text;
  for (const TankGauge& one : tank.gauges) {
    const GaugeMemory& gauge = sight.memory.gauges[one.gauge.at];
    if (gauge.trusted && gauge.accepted)
      append(text, sight.model.gauges[one.gauge.at].id + " " + to_text(*gauge.accepted));
  }
  return text + ", limit " + to_text(tank.combine.disagree);
}

/// One contact belongs to one pump.
std::string pump_on(const AlarmSight& sight, ContactIndex contact) {
  for (const Pump& pump : sight.model.pumps) {
    if (pump.contact == contact) return "it switches " + name_of(pump.name, pump.id);
    if (pump.isolator && pump.isolator->contact == contact)
      return "it isolates " + name_of(pump.name, pump.id);
  }
  return {};
}

/// "with header-top, lift-contact on it".
std::string things_on(const AlarmSight& sight, LineIndex line) {
  std::string text;
  for (const Gauge& gauge : sight.model.gauges) {
    if (gauge.line == line) append(text, gauge.id);
  }
  for (const Contact& contact : sight.model.contacts) {
    if (contact.line == line) append(text, contact.id);
  }
  return text.empty() ? "" : "with " + text + " on it";
}

void look_at_tank(AlarmGrounds& grounds, const AlarmSight& sight, AlarmKind kind, TankIndex tank) {
  grounds.level = sight.levels[tank.at];
  grounds.night = sight.memory.accounts.tanks[tank.at].night;
  if (is_of_rate(kind)) grounds.rate = rate_of(sight, tank);
  if (const auto& floats = sight.model.tanks[tank.at].floats)
    grounds.numbers = tell_floats(sight.model, sight.memory, *floats, sight.now);
  if (kind == AlarmKind::disagree) grounds.numbers = gauges_of(sight, sight.model.tanks[tank.at]);
}

void look_at_pump(AlarmGrounds& grounds, const AlarmSight& sight, AlarmKind kind, PumpIndex pump) {
  grounds.cause = cause_of(sight.memory.pumps[pump.at], kind);
  if (grounds.cause) grounds.numbers = numbers_of(sight, sight.model.pumps[pump.at], *grounds.cause);
}

void look_at_line(AlarmGrounds& grounds, const AlarmSight& sight, LineIndex line) {
  const auto& lines = sight.image.readings.lines;
  if (line.at < lines.size()) grounds.trouble = lines[line.at].trouble;
  grounds.numbers = things_on(sight, line);
}

AlarmGrounds grounds_of(const AlarmSight& sight, const Alarm& alarm) {
  AlarmGrounds grounds;
  if (const auto* tank = std::get_if<TankIndex>(&alarm.of)) look_at_tank(grounds, sight, alarm.kind, *tank);
  if (const auto* pump = std::get_if<PumpIndex>(&alarm.of)) look_at_pump(grounds, sight, alarm.kind, *pump);
  if (const auto* line = std::get_if<LineIndex>(&alarm.of)) look_at_line(grounds, sight, *line);
  if (const auto* contact = std::get_if<ContactIndex>(&alarm.of)) grounds.numbers = pump_on(sight, *contact);
  return grounds;
}

}  // namespace

Event tell(const AlarmSight& sight, std::size_t at) {
  const Alarm& alarm = sight.model.alarms[at];
  AlarmGrounds grounds = grounds_of(sight, alarm);
  if (const auto first = brought_by(sight.model, sight.memory, at))
    grounds.brought_by = sight.model.alarms[*first].id;
  return tell_alarm(sight.model, alarm, sight.memory.alarms[at], grounds);
}

}  // namespace stillwell
