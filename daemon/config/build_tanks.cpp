#include "stillwell/config/build.hpp"
#include "stillwell/tank/shapes/prism.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwell::config {
namespace {

/// A level somewhat outside floor..full can be real (a wave, a bent float arm of a tape); farther out it is a
/// wrong reading. Common practice, no source.
constexpr double kMarginOfSpan = 0.05;
constexpr Metres kLeastMargin{0.02};

constexpr Metres kRounding{1e-9};  // of a share of volume turned into a level and back

/// A gauge as the tank names it.
struct Named {
  std::size_t gauge = 0;
  Spot spot;
  std::optional<Metres> to_floor;  ///< its own
};

std::vector<Named> gauges_of(const Build& build, const Checked& section) {
  std::vector<Named> named;
  if (const auto gauge = build.refer(section, "gauge", "gauges"))
    named.push_back({*gauge, section.at("gauge"), {}});
  for (const Checked& one : section.all("gauges")) {
    const auto gauge = build.refer(one, "gauge", "gauges");
    if (gauge) named.push_back({*gauge, one.spot, one.get<Metres>("to_floor")});
  }
  return named;
}

bool sees_from_above(const Build& build, const Named& named) {
  return build.out.model.gauges.at(named.gauge).rules.measures == Measures::distance;
}

/// The full line above the lowest point inside; to_floor is measured to the floor under the gauge. Zero when
/// it cannot be known.
Metres full_line_by_distance(Build& build, const Checked& section, Metres gauge_floor) {
  if (section.has("full"))
    build.tell(section.at("full"), "its gauge measures a distance; give to_floor and to_full instead");
  const auto to_floor = section.get<Metres>("to_floor");
  const auto to_full = section.get<Metres>("to_full");
  if (!to_floor || !to_full) return {};
  if (*to_floor > *to_full) return *to_floor + gauge_floor - *to_full;
  build.tell(section.at("to_full"),
             "the full line must be nearer to the sensor than the floor; expected less than to_floor (" +
                 to_text(*to_floor) + ")");
  return {};
}

Metres full_line_by_depth(Build& build, const Checked& section) {
  if (section.has("to_floor")) {
    build.tell(section.at("to_floor"),
               "its gauge measures a depth; give full instead of to_floor and to_full");
  }
  return value_or<Metres>(section, "full");
}

TankGauge mount_distance(const Checked& section, const Named& named, Metres full, Metres gauge_floor) {
  TankGauge mounted{.gauge = {named.gauge}, .mounting = {.full = full}};
  mounted.mounting.to_floor = named.to_floor.value_or(value_or<Metres>(section, "to_floor")) + gauge_floor;
  mounted.mounting.to_full =
      named.to_floor ? mounted.mounting.to_floor - full : value_or<Metres>(section, "to_full");
  return mounted;
}

TankGauge mount_depth(Build& build, const Checked& section, const Named& named, Metres& full,
                      Metres gauge_floor) {
  const Metres sensor =
      value_or<Metres>(build.root.named("gauges").at(named.gauge), "mounted_at") + gauge_floor;
  if (named.to_floor) build.tell(named.spot, "a depth gauge has no to_floor; give mounted_at with the gauge");
  if (full > Metres{0.0} && full <= sensor) {
    build.tell(section.has("full") ? section.at("full") : named.spot,
               "the sensor is mounted above it, at " + to_text(sensor));
    full = {};
  }
  return {.gauge = {named.gauge}, .mounting = {.to_floor = -sensor, .full = full}};
}

void mount_gauges(Build& build, const Checked& section, Tank& tank, Metres gauge_floor) {
  const std::vector<Named> named = gauges_of(build, section);
  const bool from_above = named.empty() || std::any_of(named.begin(), named.end(), [&](const Named& one) {
                            return sees_from_above(build, one);
                          });
  tank.full_line =
      from_above ? full_line_by_distance(build, section, gauge_floor) : full_line_by_depth(build, section);
  Metres lowest_told{0.0};
  for (const Named& one : named) {
    const bool distance = sees_from_above(build, one);
    tank.gauges.push_back(distance ? mount_distance(section, one, tank.full_line, gauge_floor)
                                   : mount_depth(build, section, one, tank.full_line, gauge_floor));
    Mounting& mounting = tank.gauges.back().mounting;
    mounting.margin = std::max(tank.full_line * kMarginOfSpan, kLeastMargin);
    mounting.lowest = distance ? gauge_floor : -mounting.to_floor;
    lowest_told = std::max(lowest_told, mounting.lowest);
  }
  if (named.size() > kMostGauges) {
    build.tell(section.at("gauges"),
               "expected at most " + std::to_string(kMostGauges) + " gauges on one tank");
    tank.gauges.resize(kMostGauges);
  }
  build.lowest_told.push_back(lowest_told);
}

/// To a thousandth of a millimetre, so that no sum of decimals shows its last digits.
std::string to_micrometre(Metres level) {
  return shortest(std::round(level.value() * 1e6) / 1e6) + " m";
}

/// Tells when the full line and the shape do not fit each other.
bool fits(Build& build, const Checked& section, const Tank& tank) {
  constexpr Metres kMicrometre{1e-6};
  const std::string line =
      "the full line is " + to_micrometre(tank.full()) + " above the lowest point inside";
  const Spot spot = section.at(section.has("full") ? "full" : "to_full");
  const auto top = tank.shape->height();
  if (top && tank.full() > *top + kMicrometre) {
    build.tell(spot, line + ", and what the tank holds ends at " + to_micrometre(*top) +
                         "; lower the full line or correct holds");
    return false;
  }
  if (tank.capacity() > Litres{0.0}) return true;
  build.tell(spot, line + ", and up to there the tank holds nothing; raise the full line or correct holds");
  return false;
}

/// Its shape, unless that is unknown or does not fit.
void give_shape(Build& build, const Checked& section, Tank& tank, const Inside& inside) {
  if (!(tank.full() > Metres{0.0})) return;
  const Checked* holds = section.part("holds");
  const auto capacity = holds == nullptr ? std::nullopt : holds->get<Litres>("capacity");
  tank.shape = capacity ? even_section(*capacity, tank.full()) : inside.shape;
  if (tank.shape && !fits(build, section, tank)) tank.shape = nullptr;
  if (!tank.shape) return;
  tank.outline = inside.outline ? *inside.outline : even_outline(tank.capacity(), tank.full());
}

Tank build_tank(Build& build, const Checked& section) {
  Tank tank;
  tank.id = section.id;
  tank.name = value_or<std::string>(section, "name", section.id);
  if (section.has("floats")) {
    tank.floats = build_floats(build, section);
    build.lowest_told.push_back({});
    return tank;
  }
  const Checked* holds = section.part("holds");
  const Inside inside = holds == nullptr ? Inside{} : build_inside(build, *holds);
  mount_gauges(build, section, tank, inside.gauge_floor);
  const Metres full = tank.full();
  tank.unusable = value_or<Metres>(section, "unusable");
  if (full > Metres{0.0} && tank.unusable >= full) {
    build.tell(section.at("unusable"), "expected less than the full line (" + to_text(full) + ")");
  }
  give_shape(build, section, tank, inside);
  tank.by_volume = value_or<std::string>(section, "by") == "volume";
  return tank;
}

/// The memory of a gauge belongs to the mounting in one tank.
void expect_own_gauges(Build& build, const Checked& section, std::map<std::size_t, std::string>& owners) {
  for (const Named& named : gauges_of(build, section)) {
    const auto [first, is_new] = owners.emplace(named.gauge, section.id);
    if (is_new) continue;
    const std::string whose = first->second == section.id
                                  ? "it is named twice"
                                  : "tank '" + first->second + "' already has this gauge";
    build.tell(named.spot, whose + "; a gauge measures one tank");
  }
}

}  // namespace

void build_tanks(Build& build) {
  std::map<std::size_t, std::string> owners;
  for (const Checked& section : build.root.named("tanks")) {
    Tank tank = build_tank(build, section);
    expect_own_gauges(build, section, owners);
    build.sound_tanks.push_back(tank.shape != nullptr && tank.full() > Metres{0.0});
    build.out.model.tanks.push_back(std::move(tank));
  }
}

std::optional<Metres> level_at(Build& build, const Checked& section, std::string_view key, TankIndex index) {
  const auto set_point = section.get<SetPoint>(key);
  if (!set_point || index.at >= build.sound_tanks.size() || !build.sound_tanks[index.at]) return {};
  const Tank& tank = build.out.model.tanks[index.at];
  const Metres level = level_of(tank, *set_point);
  const auto* share = std::get_if<Percent>(&*set_point);
  const bool is_negative = (share != nullptr && share->value() < 0.0) || level < Metres{0.0};
  if (is_negative || level > tank.full() + kRounding) {
    build.tell(section.at(key), "is outside tank '" + tank.id + "'; expected 0 to " + to_text(tank.full()) +
                                    ", " + to_text(tank.capacity()) + " or 100 %");
    return {};
  }
  // A level that is never told is never passed, and a trip that waits for it would never come.
  const Metres lowest = build.lowest_told[index.at];
  if (lowest == Metres{0.0} || level > lowest) return level;
  build.tell(section.at(key), "at " + to_text(level) + " the gauge of tank '" + tank.id +
                                  "' tells nothing; expected more than " + to_text(lowest) +
                                  ", where it stands above the lowest point inside");
  return {};
}

}  // namespace stillwell::config
