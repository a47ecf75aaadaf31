#include "stillwell/site/story.hpp"

#include "stillwell/quantity/units.hpp"

#include <cmath>

namespace stillwell {
namespace {

std::string word(std::string_view text) {
  return std::string(text);
}

std::string name_of(const std::string& name, const std::string& id) {
  return name.empty() ? id : name;
}

/// "1.203 m (47.8 %)", or why there is no number.
std::string describe(const Tank& tank, const Level& level) {
  if (!level.usable()) return "unknown (" + word(to_word(level.reason)) + ")";
  return to_text(*level.level) + " (" + to_text(percent_of(tank, *level.level)) + ")";
}

/// " (jump)", or nothing.
std::string grounds_of(const Level& level) {
  return level.reason == Reason::none ? "" : " (" + word(to_word(level.reason)) + ")";
}

std::string_view advice(AlarmKind kind) {
  switch (kind) {
    case AlarmKind::low_low:
    case AlarmKind::low: return "Save water and look at the supply.";
    case AlarmKind::high:
    case AlarmKind::high_high: return "Find out what fills it before it overflows.";
    case AlarmKind::leak:
      return "Look for a running toilet, tap or valve; close the outlet for a night to tell the pipes from "
             "the "
             "tank.";
    case AlarmKind::unwell: return "The level is not known: look at the gauge, its supply and its line.";
  }
  return "";
}

std::string per_hour(LitresPerSecond flow) {
  return fixed(flow.value() * 3600.0, 1) + " L/h";
}

/// What an alarm that has risen was judged by.
std::string grounds_text(const Alarm& alarm, const Tank& tank, const AlarmGrounds& grounds) {
  if (alarm.kind == AlarmKind::leak) {
    const bool known = grounds.night && grounds.night->minimum;
    return ", at least " + (known ? per_hour(*grounds.night->minimum) : "an unknown flow") +
           " left the tank in every hour of the night, limit " + per_hour(alarm.more_than);
  }
  const std::string level = ", level " + describe(tank, grounds.level);
  return is_of_level(alarm.kind) ? level + ", set point " + to_text(alarm.at) : level;
}

std::string alarm_text(const Alarm& alarm, const Tank& tank, AlarmState state, const AlarmGrounds& grounds) {
  const std::string what = name_of(tank.name, tank.id) + ": " + word(to_word(alarm.kind)) + " alarm";
  switch (state) {
    case AlarmState::normal: return what + " has ended.";
    case AlarmState::acknowledged: return what + " acknowledged; it still stands.";
    case AlarmState::returned_unacknowledged:
      return what + " has returned by itself; nobody acknowledged it yet.";
    case AlarmState::latched_unacknowledged:
      return what + " has returned and is latched; acknowledge and reset it.";
    case AlarmState::latched_acknowledged: return what + " has returned and is latched; reset it.";
    case AlarmState::unacknowledged: break;
  }
  return what + grounds_text(alarm, tank, grounds) + ". " + word(advice(alarm.kind));
}

/// A tenth of a millimetre: finer than any sensor, and without the noise of binary fractions.
double rounded(Metres level) {
  return std::round(level.value() * 1e4) / 1e4;
}

double tenths(double value) {
  return std::round(value * 10.0) / 10.0;
}

void add_level(Event& event, const std::string& name, const Level& level) {
  if (level.usable()) event.values.emplace_back(name, rounded(*level.level));
}

EventKind kind_of(PumpEvent::Kind kind) {
  switch (kind) {
    case PumpEvent::Kind::start: return EventKind::start;
    case PumpEvent::Kind::stop: return EventKind::stop;
    case PumpEvent::Kind::trip: return EventKind::trip;
    case PumpEvent::Kind::lock_out: return EventKind::lockout;
    case PumpEvent::Kind::recover: return EventKind::service;
  }
  return EventKind::stop;
}

std::string_view verb_of(PumpEvent::Kind kind) {
  switch (kind) {
    case PumpEvent::Kind::start: return " started";
    case PumpEvent::Kind::stop: return " stopped";
    case PumpEvent::Kind::trip: return " tripped";
    case PumpEvent::Kind::lock_out: return " is locked out and needs a reset";
    case PumpEvent::Kind::recover: return " is no longer tripped";
  }
  return "";
}

/// A pump that was held back between its levels goes on with what it had begun.
bool goes_on(const Pump& pump, const Level& tank) {
  if (!tank.usable()) return false;
  return pump.duty == Duty::fill ? tank.highest() > pump.start_level : tank.lowest() < pump.start_level;
}

std::string level_text(const Pump& pump, const PumpEvent& event, const Level& tank) {
  const std::string at = "its tank is at " + (tank.usable() ? to_text(*tank.level) : "an unknown level");
  if (event.kind == PumpEvent::Kind::stop) return at + ", stop level " + to_text(pump.stop_level);
  if (goes_on(pump, tank)) return at + " and not yet at the stop level " + to_text(pump.stop_level);
  return at + ", start level " + to_text(pump.start_level);
}

}  // namespace

std::string tell_refused(const Model& model, const std::vector<Refused>& readings) {
  std::string text;
  for (const Refused& one : readings)
    text += (text.empty() ? "" : ", ") + model.gauges[one.gauge.at].id + " shows " + to_text(one.level);
  return text;
}

Event tell_quality(const Tank& tank, const Level& before, const Level& now, const std::string& refused) {
  Event event{.kind = EventKind::quality, .of = tank.id};
  event.cause = word(now.quality == Quality::good ? to_word(now.quality) : to_word(now.reason));
  event.text = name_of(tank.name, tank.id) + ": level " +
               (now.usable() ? word(to_word(now.quality)) + grounds_of(now) + ", " + describe(tank, now)
                             : "not known: " + word(to_word(now.reason)));
  if (!now.usable() && before.usable()) event.text += "; last known " + describe(tank, before);
  if (!refused.empty()) event.text += "; " + refused;
  event.text += ".";
  add_level(event, now.usable() ? "level_m" : "last_level_m", now.usable() ? now : before);
  return event;
}

Event tell_alarm(const Alarm& alarm, const Tank& tank, AlarmState state, const AlarmGrounds& grounds) {
  Event event{.kind = EventKind::alarm, .of = alarm.id, .cause = word(to_word(state))};
  event.text = alarm_text(alarm, tank, state, grounds);
  add_level(event, "level_m", grounds.level);
  if (is_of_level(alarm.kind)) event.values.emplace_back("limit_m", rounded(alarm.at));
  if (alarm.kind != AlarmKind::leak) return event;
  if (grounds.night && grounds.night->minimum) {
    event.values.emplace_back("night_flow_l_h", tenths(grounds.night->minimum->value() * 3600.0));
  }
  event.values.emplace_back("limit_l_h", tenths(alarm.more_than.value() * 3600.0));
  return event;
}

Event tell_day(const Tank& tank, const DayTotals& day) {
  const double hours = seconds_of(day.known) / 3600.0;
  Event event{.kind = EventKind::service, .of = tank.id, .cause = "day"};
  event.text = name_of(tank.name, tank.id) + ": a day has ended; " + to_text(day.inflow()) + " came in and " +
               to_text(day.outflow()) + " went out in the " + fixed(hours, 1) + " h of it that are known.";
  event.values = {{"inflow_l", tenths(day.inflow().value())},
                  {"outflow_l", tenths(day.outflow().value())},
                  {"known_h", tenths(hours)}};
  return event;
}

Event tell_pump(const Pump& pump, const PumpEvent& event, const PumpLevels& levels) {
  Event told{.kind = kind_of(event.kind), .of = pump.id};
  const std::string what = name_of(pump.name, pump.id) + word(verb_of(event.kind)) + ": ";
  const bool over = event.kind == PumpEvent::Kind::recover;
  if (event.cause) {
    const CauseRow& row = row_of(*event.cause);
    told.cause = word(row.word);
    told.text = what + (over ? word(row.word) + " is over." : word(row.text) + ". " + word(row.remedy) + ".");
  } else {
    told.cause = event.kind == PumpEvent::Kind::start ? "start-level" : "stop-level";
    told.text = what + level_text(pump, event, levels.tank) + ".";
  }
  add_level(told, "tank_m", levels.tank);
  if (levels.source) add_level(told, "source_m", *levels.source);
  const auto limit = over && pump.source_clear ? pump.source_clear : pump.source_below;
  if (event.cause == Cause::source_low && limit) told.values.emplace_back("limit_m", rounded(*limit));
  return told;
}

}  // namespace stillwell
