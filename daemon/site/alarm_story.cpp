#include "stillwell/site/alarm_story.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/site/words.hpp"

#include <cmath>

namespace stillwell {
namespace {

constexpr double kSecondsAnHour = 3600.0;

std::string per_hour(LitresPerSecond flow) {
  return fixed(flow.value() * kSecondsAnHour, 1) + " L/h";
}

const Tank& tank_of(const Model& model, const Alarm& alarm) {
  return model.tanks[alarm.tank()->at];
}

/// What a tank's alarm that has risen was judged by.
std::string tank_text(const Model& model, const Alarm& alarm, const AlarmGrounds& grounds) {
  if (alarm.kind == AlarmKind::leak) {
    const bool known = grounds.night && grounds.night->minimum;
    return ", at least " + (known ? per_hour(*grounds.night->minimum) : "an unknown flow") +
           " left the tank in every hour of the night, limit " + limit_text(model, alarm);
  }
  if (tank_of(model, alarm).floats) return ", " + std::string(row_of(alarm.kind).text);
  std::string level = ", level " + describe(tank_of(model, alarm), grounds.level.value_or(Level{}));
  if (is_of_level(alarm.kind)) return level + ", set point " + to_text(alarm.at);
  if (!is_of_rate(alarm.kind) || !grounds.rate) return level;
  return ", " + to_text(MetresPerSecond{std::abs(grounds.rate->slope.value())}) + ", limit " +
         limit_text(model, alarm) + level;
}

/// What stopped a pump, or holds it, stands in the cause table. A cause that bears the alarm's own name says
/// nothing new by it.
std::string cause_text(const KindRow& kind, Cause cause) {
  const CauseRow& row = row_of(cause);
  const std::string name = row.word == kind.word ? "" : std::string(row.word) + ", ";
  return ": " + name + std::string(row.text);
}

/// Why, and what to do.
std::string reason_text(const Model& model, const Alarm& alarm, const AlarmGrounds& grounds) {
  const KindRow& kind = row_of(alarm.kind);
  const std::string numbers = grounds.numbers.empty() ? "" : "; " + grounds.numbers;
  if (kind.of == Subject::tank)
    return tank_text(model, alarm, grounds) + numbers + ". " + std::string(kind.advice);
  std::string text = ", " + std::string(grounds.trouble.empty() ? kind.text : grounds.trouble);
  if (!grounds.cause) return text + numbers + ". " + std::string(kind.advice);
  return text + cause_text(kind, *grounds.cause) + numbers + ". " +
         std::string(row_of(*grounds.cause).remedy) + ".";
}

/// "for 2 h: cleaning".
std::string shelf_text(const AlarmMemory& memory) {
  if (!memory.shelf || !memory.since) return "";
  return " for " + to_text(memory.shelf->until - *memory.since) + ": " + memory.shelf->because;
}

std::string state_text(const Model& model, const Alarm& alarm, const AlarmMemory& memory,
                       const AlarmGrounds& grounds) {
  switch (memory.state) {
    case AlarmState::normal: return " is back to normal.";
    case AlarmState::acknowledged: return " acknowledged; it still stands.";
    case AlarmState::returned_unacknowledged: return " has returned by itself; nobody acknowledged it yet.";
    case AlarmState::latched_unacknowledged: return " has returned and is latched; acknowledge and reset it.";
    case AlarmState::latched_acknowledged: return " has returned and is latched; reset it.";
    case AlarmState::shelved: return " is shelved" + shelf_text(memory) + ".";
    case AlarmState::suppressed:
      return " is suppressed: another alarm, or a tank that is out of service, already says it.";
    case AlarmState::out_of_service: return " is out of service.";
    case AlarmState::unacknowledged: break;
  }
  const std::string first = grounds.brought_by.empty() ? "" : " A consequence of " + grounds.brought_by + ".";
  return reason_text(model, alarm, grounds) + first;
}

void add_rate(Event& event, const Alarm& alarm, const AlarmGrounds& grounds) {
  constexpr double kMillimetresAMinute = 60e3;
  if (grounds.rate)
    event.values.emplace_back("rate_mm_min", tenths(grounds.rate->slope.value() * kMillimetresAMinute));
  event.values.emplace_back("limit_mm_min", tenths(alarm.faster_than.value() * kMillimetresAMinute));
}

void add_night(Event& event, const Alarm& alarm, const AlarmGrounds& grounds) {
  if (grounds.night && grounds.night->minimum)
    event.values.emplace_back("night_flow_l_h", tenths(grounds.night->minimum->value() * kSecondsAnHour));
  event.values.emplace_back("limit_l_h", tenths(alarm.more_than.value() * kSecondsAnHour));
}

}  // namespace

std::string subject_name(const Model& model, const Alarm& alarm) {
  if (const auto* tank = std::get_if<TankIndex>(&alarm.of))
    return name_of(model.tanks[tank->at].name, model.tanks[tank->at].id);
  if (const auto* pump = std::get_if<PumpIndex>(&alarm.of))
    return name_of(model.pumps[pump->at].name, model.pumps[pump->at].id);
  if (const auto* contact = std::get_if<ContactIndex>(&alarm.of))
    return "contact " + model.contacts[contact->at].id;
  if (const auto* line = std::get_if<LineIndex>(&alarm.of)) return "line " + model.lines[line->at].id;
  return name_of(model.name, model.id);
}

std::string limit_text(const Model& model, const Alarm& alarm) {
  if (is_of_level(alarm.kind))
    return to_text(alarm.at) + " (" + to_text(percent_of(tank_of(model, alarm), alarm.at)) + ")";
  if (is_of_rate(alarm.kind)) return to_text(alarm.faster_than);
  if (alarm.kind == AlarmKind::leak) return per_hour(alarm.more_than);
  return {};
}

Event tell_alarm(const Model& model, const Alarm& alarm, const AlarmMemory& memory,
                 const AlarmGrounds& grounds) {
  Event event{.kind = EventKind::alarm, .of = alarm.id, .cause = std::string(to_word(memory.state))};
  event.text = subject_name(model, alarm) + ": " + std::string(to_word(alarm.kind)) + " alarm" +
               state_text(model, alarm, memory, grounds);
  event.priority = alarm.priority;
  if (grounds.level) add_level(event, "level_m", *grounds.level);
  if (is_of_level(alarm.kind)) event.values.emplace_back("limit_m", rounded(alarm.at));
  if (is_of_rate(alarm.kind)) add_rate(event, alarm, grounds);
  if (alarm.kind == AlarmKind::leak) add_night(event, alarm, grounds);
  return event;
}

}  // namespace stillwell
