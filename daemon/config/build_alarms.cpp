#include "stillwell/config/build.hpp"

#include <array>

namespace stillwell::config {
namespace {

constexpr std::array kLevelAlarms{AlarmKind::low_low, AlarmKind::low, AlarmKind::high, AlarmKind::high_high};

/// A level moved by a deadband, in the deadband's own unit: 5 % of a tank by volume is another height at each
/// level.
Metres moved(const Tank& tank, Metres level, const SetPoint& by, double sign) {
  if (const auto* height = std::get_if<Metres>(&by)) return level + *height * sign;
  if (const auto* volume = std::get_if<Litres>(&by))
    return level_of(tank, tank.shape->volume(level) + *volume * sign);
  return level_of(tank, percent_of(tank, level) + std::get<Percent>(by) * sign);
}

double number_of(const SetPoint& set_point) {
  return std::visit([](const auto& quantity) { return quantity.value(); }, set_point);
}

/// What every alarm has; `id` is of the thing that it is about.
Alarm common(const Checked& section, const std::string& id, AlarmSubject of, AlarmKind kind) {
  Alarm alarm;
  alarm.id = id + "/" + std::string(to_word(kind));
  alarm.of = of;
  alarm.kind = kind;
  alarm.after = value_or<Duration>(section, "after");
  alarm.clear_after = value_or<Duration>(section, "clear_after");
  alarm.priority = priority_of(value_or<std::string>(section, "priority"));
  alarm.latch = value_or<bool>(section, "latch");
  return alarm;
}

void build_level_alarm(Build& build, const Checked& section, TankIndex index, AlarmKind kind) {
  const Tank& tank = build.out.model.tanks[index.at];
  Alarm alarm = common(section, tank.id, index, kind);
  const auto at = level_at(build, section, "at", index);
  const auto deadband = section.get<SetPoint>("deadband");
  if (!at || !deadband) return;
  alarm.at = *at;
  if (number_of(*deadband) < 0.0) return build.tell(section.at("deadband"), "expected no negative deadband");
  alarm.clears_at = moved(tank, *at, *deadband, is_low(kind) ? 1.0 : -1.0);
  const bool can_clear = is_low(kind) ? alarm.clears_at <= tank.full() : alarm.clears_at >= Metres{0.0};
  const bool below_empty = !is_low(kind) && number_of(*deadband) > 0.0 && alarm.clears_at <= Metres{0.0};
  if (!can_clear || below_empty) {
    return build.tell(section.at("deadband"),
                      "with it the alarm could never clear: that would need the tank " +
                          std::string(is_low(kind) ? "above its full line" : "empty"));
  }
  build.out.model.alarms.push_back(std::move(alarm));
}

constexpr int kMinutesADay = 24 * 60;
constexpr int kShortestNight = 90;  // half an hour of rolling means; a shorter one tells too few of them
constexpr int kLongestNight = 12 * 60;

/// The night flow of a tank is measured in the window of its leak alarm.
void build_leak_alarm(Build& build, const Checked& section, TankIndex index) {
  Tank& tank = build.out.model.tanks[index.at];
  Alarm alarm = common(section, tank.id, index, AlarmKind::leak);
  const auto window = section.get<DayWindow>("between");
  const auto more_than = section.get<LitresPerSecond>("more_than");
  if (!window || !more_than) return;
  const int length = (window->to - window->from + kMinutesADay) % kMinutesADay;
  if (length < kShortestNight || length > kLongestNight) {
    return build.tell(section.at("between"),
                      "is " + to_text(Duration{std::chrono::minutes{length == 0 ? kMinutesADay : length}}) +
                          " long; expected " + to_text(Duration{std::chrono::minutes{kShortestNight}}) +
                          " to " + to_text(Duration{std::chrono::minutes{kLongestNight}}) + " of the night");
  }
  alarm.more_than = *more_than;
  tank.night = {.from_minute = window->from, .to_minute = window->to % kMinutesADay, .more_than = *more_than};
  build.out.model.alarms.push_back(std::move(alarm));
}

/// Likewise rising or falling.
void build_rate_alarm(Build& build, const Checked& section, TankIndex index, AlarmKind kind) {
  constexpr double kDeadband = 0.2;
  Alarm alarm = common(section, build.out.model.tanks[index.at].id, index, kind);
  const auto limit = section.get<MetresPerSecond>("faster_than");
  if (!limit) return;
  alarm.faster_than = *limit;
  const auto deadband = section.get<MetresPerSecond>("deadband").value_or(*limit * kDeadband);
  alarm.clears_below = *limit - deadband;
  if (alarm.clears_below <= MetresPerSecond{0.0})
    return build.tell(section.at("deadband"),
                      "with it the alarm could never clear: expected less than " + to_text(*limit));
  build.out.model.alarms.push_back(std::move(alarm));
}

/// An alarm that could never rise is no alarm.
void refuse_written(Build& build, const Checked& alarms, AlarmKind kind, const std::string& why) {
  if (alarms.has(to_word(kind))) build.tell(alarms.at(to_word(kind)), why);
}

/// Of a tank without a level only this can be judged: whether its floats are well, and the high one.
void build_float_alarms(Build& build, const Checked& alarms, TankIndex index) {
  const Tank& tank = build.out.model.tanks[index.at];
  for (const stillwell::KindRow& row : kind_table()) {
    const bool is_judged = row.kind == AlarmKind::unwell || row.kind == AlarmKind::float_high;
    if (row.of == Subject::tank && !is_judged)
      refuse_written(build, alarms, row.kind,
                     "the tank is kept by floats, and nobody knows its level; expected unwell or float-high");
  }
  if (const Checked* section = alarms.part("unwell"))
    build.out.model.alarms.push_back(common(*section, tank.id, index, AlarmKind::unwell));
  const bool has_high = tank.floats && tank.floats->high;
  if (tank.floats && !has_high)
    refuse_written(build, alarms, AlarmKind::float_high, "there is none; expected `high` among the floats");
  if (const Checked* section = alarms.part("float-high"); has_high && section != nullptr)
    build.out.model.alarms.push_back(common(*section, tank.id, index, AlarmKind::float_high));
}

void build_tank_alarms(Build& build, const Checked& alarms, TankIndex index) {
  const Tank& tank = build.out.model.tanks[index.at];
  refuse_written(build, alarms, AlarmKind::float_high,
                 "only a tank that is kept by `floats` has it; expected a level alarm such as high-high");
  for (const AlarmKind kind : kLevelAlarms) {
    if (const Checked* section = alarms.part(to_word(kind))) build_level_alarm(build, *section, index, kind);
  }
  for (const AlarmKind kind : {AlarmKind::rising, AlarmKind::falling}) {
    if (const Checked* section = alarms.part(to_word(kind))) build_rate_alarm(build, *section, index, kind);
  }
  const Checked* disagree = alarms.part("disagree");
  if (tank.gauges.size() < 2)
    refuse_written(build, alarms, AlarmKind::disagree,
                   "one gauge contradicts nobody; expected `gauges` with two or more");
  else if (disagree != nullptr)
    build.out.model.alarms.push_back(common(*disagree, tank.id, index, AlarmKind::disagree));
  if (const Checked* section = alarms.part("unwell"))
    build.out.model.alarms.push_back(common(*section, tank.id, index, AlarmKind::unwell));
  if (const Checked* section = alarms.part("leak")) build_leak_alarm(build, *section, index);
}

/// The alarms of a kind of thing that are always there.
template <class Index>
void build_standing(Build& build, const Checked& thing, Index index, std::initializer_list<AlarmKind> kinds) {
  const Checked* alarms = thing.part("alarms");
  if (alarms == nullptr) return;
  for (const AlarmKind kind : kinds) {
    if (const Checked* section = alarms->part(to_word(kind)))
      build.out.model.alarms.push_back(common(*section, thing.id, index, kind));
  }
}

void refuse_unproved(Build& build, const Checked& pump) {
  const Checked* alarms = pump.part("alarms");
  if (alarms == nullptr) return;
  for (const AlarmKind kind : {AlarmKind::stuck_on, AlarmKind::no_feedback})
    refuse_written(build, *alarms, kind,
                   "nothing tells whether the motor runs; expected `feedback` on this pump");
}

void build_equipment_alarms(Build& build) {
  const std::vector<Checked>& pumps = build.root.named("pumps");
  for (std::size_t i = 0; i < pumps.size(); ++i) {
    const PumpIndex pump{i};
    build_standing(build, pumps[i], pump, {AlarmKind::tripped, AlarmKind::locked_out});
    if (pumps[i].part("feedback") != nullptr)
      build_standing(build, pumps[i], pump, {AlarmKind::stuck_on, AlarmKind::no_feedback});
    else
      refuse_unproved(build, pumps[i]);
  }
  const std::vector<Checked>& contacts = build.root.named("contacts");
  for (std::size_t i = 0; i < contacts.size(); ++i)
    build_standing(build, contacts[i], ContactIndex{i}, {AlarmKind::contact_unreachable});
  const std::vector<Checked>& lines = build.root.named("lines");
  for (std::size_t i = 0; i < lines.size(); ++i)
    build_standing(build, lines[i], LineIndex{i}, {AlarmKind::line_down});
  const Checked* site = build.root.part("site");
  const Checked* alarms = site == nullptr ? nullptr : site->part("alarms");
  if (alarms == nullptr) return;
  for (const AlarmKind kind : {AlarmKind::state_file, AlarmKind::clock}) {
    if (const Checked* section = alarms->part(to_word(kind)))
      build.out.model.alarms.push_back(common(*section, build.out.model.id, Gateway{}, kind));
  }
}

}  // namespace

Priority priority_of(const std::string& word) {
  if (word == "low") return Priority::low;
  return word == "high" ? Priority::high : Priority::medium;
}

void build_alarms(Build& build) {
  const std::vector<Checked>& tanks = build.root.named("tanks");
  for (std::size_t i = 0; i < tanks.size(); ++i) {
    const Checked* alarms = tanks[i].part("alarms");
    if (alarms == nullptr) continue;
    tanks[i].has("floats") ? build_float_alarms(build, *alarms, {i}) : build_tank_alarms(build, *alarms, {i});
  }
  build_equipment_alarms(build);
}

}  // namespace stillwell::config
