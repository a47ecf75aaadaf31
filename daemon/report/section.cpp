#include "stillwell/report/section.hpp"

#include "stillwell/quantity/listed.hpp"
#include "stillwell/report/figures.hpp"
#include "stillwell/site/words.hpp"

#include <algorithm>
#include <array>

namespace stillwell::report {
namespace {

using Rows = std::vector<SectionRow>;

/// Where nobody can tell heights apart: of the numbers of a configuration, sums of decimals.
constexpr Metres kSameHeight{1e-9};

bool has_until(const SectionRow& row) {
  return row.height && row.until &&
         (*row.until > *row.height + kSameHeight || *row.until < *row.height - kSameHeight);
}

void add_sensor(const Gauge& gauge, const Mounting& mounting, const Tank& tank, Rows& rows) {
  const Metres face = mounting.to_floor;
  const GaugeRules& rules = gauge.rules;
  if (rules.measures == Measures::depth) {
    rows.push_back({SectionKind::sensor, gauge.id, -face, {}, "submerged sensor " + gauge.id});
    if (rules.reach && *rules.reach - face < tank.full())
      rows.push_back(
          {SectionKind::reach, gauge.id, *rules.reach - face, {}, gauge.id + " reaches up to here"});
    return;
  }
  rows.push_back({SectionKind::sensor, gauge.id, face, {}, "face of sensor " + gauge.id});
  if (rules.blanking > Metres{0.0})
    rows.push_back({SectionKind::blanking, gauge.id, face - rules.blanking, face,
                    "above this " + gauge.id + " is blind"});
  if (rules.reach && face - *rules.reach > mounting.lowest)
    rows.push_back(
        {SectionKind::reach, gauge.id, face - *rules.reach, {}, "below this " + gauge.id + " is blind"});
}

void add_vessel(const Tank& tank, Rows& rows) {
  const auto top = tank.shape->height();
  if (top) rows.push_back({SectionKind::top, "", *top, {}, "top of the inside"});
  rows.push_back({SectionKind::full, "", tank.full(), {}, "full line"});
  if (tank.unusable > Metres{0.0})
    rows.push_back({SectionKind::unusable, "", tank.unusable, {}, "outlet: below it unusable"});
  Metres gauge_floor{0.0};
  for (const TankGauge& mounted : tank.gauges)
    if (mounted.mounting.to_floor > Metres{0.0}) gauge_floor = std::max(gauge_floor, mounted.mounting.lowest);
  if (gauge_floor > Metres{0.0})
    rows.push_back({SectionKind::gauge_floor, "", gauge_floor, {}, "floor under the gauge"});
  rows.push_back({SectionKind::floor, "", Metres{0.0}, {}, "lowest point inside"});
}

void add_alarms(const Model& model, TankIndex tank, Rows& rows) {
  for (const Alarm& alarm : model.alarms) {
    if (!is_of_level(alarm.kind) || alarm.tank() == nullptr || *alarm.tank() != tank) continue;
    rows.push_back({SectionKind::alarm, alarm.id, alarm.at, alarm.clears_at,
                    "alarm " + std::string(to_word(alarm.kind)) + " (" +
                        std::string(to_word(alarm.priority)) + ") rises " +
                        (is_low(alarm.kind) ? "below" : "above")});
  }
}

/// What a pump does by the level of one tank.
class PumpRows {
 public:
  PumpRows(const Model& model, TankIndex tank, Rows& rows) : model_{model}, tank_{tank}, rows_{rows} {}

  void add(PumpIndex index) {
    const Pump& pump = model_.pumps[index.at];
    const bool fills = pump.duty == Duty::fill;
    if (pump.tank == tank_) add_duty(index, fills);
    if (pump.high_trip && tank_ == (fills ? pump.tank : pump.receiver.value_or(pump.tank))) {
      const Metres trip = *pump.high_trip;
      rows_.push_back({SectionKind::high_trip, pump.id, trip, fills ? std::min(pump.stop_level, trip) : trip,
                       pump.id + " trips at or above"});
    }
    if (pump.source_below && suction_of(pump) == tank_)
      rows_.push_back({SectionKind::source_trip, pump.id, *pump.source_below,
                       pump.source_clear.value_or(*pump.source_below), pump.id + " trips below"});
  }

 private:
  /// The levels of a set are told once, in its name.
  void add_duty(PumpIndex index, bool fills) {
    const Pump& pump = model_.pumps[index.at];
    const auto set = set_of(model_.sets, index);
    if (set && model_.sets[*set].pumps.front() != index) return;
    const std::string& name = set ? model_.sets[*set].id : pump.id;
    const std::string at_start = fills ? " at or below" : " at or above";
    const std::string at_stop = fills ? " at or above" : " at or below";
    rows_.push_back({SectionKind::start,
                     name,
                     pump.start_level,
                     {},
                     name + (set ? ": one starts" : " starts") + at_start});
    if (set && model_.sets[*set].second_level)
      rows_.push_back({SectionKind::second,
                       name,
                       *model_.sets[*set].second_level,
                       {},
                       name + ": a second starts" + at_start});
    rows_.push_back(
        {SectionKind::stop, name, pump.stop_level, {}, name + (set ? ": all stop" : " stops") + at_stop});
  }

  const Model& model_;
  TankIndex tank_;
  Rows& rows_;
};

/// What the floats do that hang in a tank at a height that nobody told.
void add_floats_unplaced(const Model& model, TankIndex tank, Rows& rows) {
  const std::vector<TankMark>& marks = model.tanks[tank.at].marks;
  const auto add = [&](SwitchIndex input, const std::string& does) {
    const bool placed = std::ranges::any_of(marks, [&](const TankMark& mark) { return mark.input == input; });
    if (placed) return;
    const std::string& id = model.switches[input.at].id;
    rows.push_back({SectionKind::turns, id, {}, {}, "float " + id + does + "; its height is not configured"});
  };
  for (const Pump& pump : model.pumps) {
    if (pump.float_trip && delivery_of(pump).value_or(pump.tank) == tank)
      add(*pump.float_trip, " trips " + pump.id);
    if (pump.source_float && suction_of(pump) == tank) add(*pump.source_float, " trips " + pump.id);
  }
}

void add_marks(const Model& model, const Tank& tank, Rows& rows) {
  for (const TankMark& mark : tank.marks) {
    const std::string& id = model.switches[mark.input.at].id;
    rows.push_back({SectionKind::turns, id, mark.rules.at, {}, "float " + id + " turns"});
  }
}

/// From the top down, and who acts on them.
Rows floats_alone(const Model& model, TankIndex tank) {
  std::vector<std::string> pumps;
  bool fills = false;
  for (const Pump& pump : model.pumps) {
    if (pump.tank != tank) continue;
    pumps.push_back(pump.id);
    fills = pump.duty == Duty::fill;
  }
  const TankFloats& floats = *model.tanks[tank.at].floats;
  Rows rows;
  const auto add = [&](SectionKind kind, SwitchIndex input, const std::string& does) {
    const std::string& id = model.switches[input.at].id;
    rows.push_back({kind, id, {}, {}, "float " + id + ": " + does});
  };
  const std::string start = listed(pumps) + " starts when the water " + (fills ? "is below" : "reaches it");
  const std::string stop = listed(pumps) + " stops when the water " + (fills ? "reaches it" : "is below");
  if (floats.high) add(SectionKind::turns, *floats.high, "too high when the water reaches it");
  add(fills ? SectionKind::stop : SectionKind::start, floats.upper, fills ? stop : start);
  add(fills ? SectionKind::start : SectionKind::stop, floats.lower, fills ? start : stop);
  return rows;
}

std::string height_text(const std::optional<Metres>& height) {
  return height ? to_text(*height) : "-";
}

}  // namespace

std::string_view to_word(SectionKind kind) {
  constexpr std::array<std::string_view, 15> kWords{
      "sensor", "blanking",  "reach",       "top",   "full",     "alarm",       "start", "second-start",
      "stop",   "high-trip", "source-trip", "float", "unusable", "gauge-floor", "floor"};
  return kWords.at(static_cast<std::size_t>(kind));
}

Rows section_rows(const Model& model, TankIndex index) {
  const Tank& tank = model.tanks.at(index.at);
  if (tank.floats) return floats_alone(model, index);
  Rows rows;
  for (const TankGauge& mounted : tank.gauges)
    add_sensor(model.gauges.at(mounted.gauge.at), mounted.mounting, tank, rows);
  add_vessel(tank, rows);
  add_alarms(model, index, rows);
  PumpRows pumps(model, index, rows);
  for (std::size_t at = 0; at < model.pumps.size(); ++at)
    pumps.add({at});
  add_marks(model, tank, rows);
  add_floats_unplaced(model, index, rows);
  // The floor stays below what else is at height zero.
  std::ranges::stable_sort(rows, [](const SectionRow& a, const SectionRow& b) {
    if (!a.height || !b.height) return a.height.has_value() && !b.height;
    if (*a.height != *b.height) return *a.height > *b.height;
    return a.kind != SectionKind::floor && b.kind == SectionKind::floor;
  });
  for (SectionRow& row : rows)
    if (!has_until(row)) row.until.reset();
  return rows;
}

Sheet section_sheet(const Model& model, TankIndex index, const std::string& source) {
  const Tank& tank = model.tanks.at(index.at);
  Grid grid{
      .title = "From the top down", .head = {"height", "until", "share", "contents", "what"}, .rows = {}};
  for (const SectionRow& row : section_rows(model, index)) {
    const bool holds =
        row.height && tank.shape && *row.height <= tank.full() + kSameHeight && *row.height >= Metres{0.0};
    grid.rows.push_back({{height_text(row.height)},
                         {height_text(row.until)},
                         {holds ? plain(percent_of(tank, *row.height).value()) + " %" : "-"},
                         {holds ? to_text(tank.shape->volume(*row.height)) : "-"},
                         {row.text}});
  }
  return {.title = name_of(model.name, model.id) + ": " + tank.name, .subtitle = source, .grids = {grid}};
}

}  // namespace stillwell::report
