#include "stillwell/site/story.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/site/words.hpp"

namespace stillwell {
namespace {

std::string word(std::string_view text) {
  return std::string(text);
}

/// " (jump)", or nothing.
std::string grounds_of(const Level& level) {
  return level.reason == Reason::none ? "" : " (" + word(to_word(level.reason)) + ")";
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

std::string float_text(FloatSight sight) {
  switch (sight) {
    case FloatSight::below: return "its floats see the water below both";
    case FloatSight::between: return "its floats see the water between them";
    case FloatSight::above: return "its floats see the water above both";
    case FloatSight::high: return "its floats see the water at the high one";
    case FloatSight::contradict: return "its floats contradict each other";
    case FloatSight::unreadable: break;
  }
  return "its floats cannot be read";
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

Event tell_quality(const Tank& tank, const Level& now, const std::string& floats) {
  const bool is_well = now.quality == Quality::good;
  Event event{.kind = EventKind::quality, .of = tank.id};
  event.cause = word(is_well ? to_word(now.quality) : to_word(now.reason));
  event.text = name_of(tank.name, tank.id) + ": floats " +
               (is_well ? "good" : "say nothing certain: " + event.cause) + "; " + floats + ".";
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
    const std::string ended =
        word(row.word) + (row.returns == Returns::counts ? ": it has rested, and tries again." : " is over.");
    told.text = what + (over ? ended : word(row.text) + ". " + word(row.remedy) + ".");
  } else {
    told.cause = event.kind == PumpEvent::Kind::start ? "start-level" : "stop-level";
    told.text =
        what + (levels.floats ? float_text(*levels.floats) : level_text(pump, event, levels.tank)) + ".";
  }
  // Nobody else will start it again: as urgent as anything.
  if (event.kind == PumpEvent::Kind::lock_out) told.priority = Priority::high;
  add_level(told, "tank_m", levels.tank);
  if (levels.source) add_level(told, "source_m", *levels.source);
  const auto limit = over && pump.source_clear ? pump.source_clear : pump.source_below;
  if (event.cause == Cause::source_low && limit) told.values.emplace_back("limit_m", rounded(*limit));
  return told;
}

}  // namespace stillwell
