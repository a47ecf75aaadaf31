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

Measures measures_of(const Build& build, const Checked& section) {
  const auto gauge = build.refer(section, "gauge", "gauges");
  return gauge ? build.out.model.gauges.at(*gauge).rules.measures : Measures::distance;
}

/// Levels count from the lowest point inside; to_floor is measured to the floor under the gauge.
Mounting mount_distance(Build& build, const Checked& section, Metres gauge_floor) {
  Mounting mounting;
  mounting.to_floor = value_or<Metres>(section, "to_floor");
  mounting.to_full = value_or<Metres>(section, "to_full");
  const bool both = section.get<Metres>("to_floor") && section.get<Metres>("to_full");
  if (both && mounting.to_floor <= mounting.to_full) {
    build.tell(section.at("to_full"),
               "the full line must be nearer to the sensor than the floor; expected less than "
               "to_floor (" +
                   to_text(mounting.to_floor) + ")");
  } else if (both) {
    mounting.to_floor += gauge_floor;
    mounting.full = mounting.to_floor - mounting.to_full;
  }
  if (section.has("full")) {
    build.tell(section.at("full"), "its gauge measures a distance; give to_floor and to_full instead");
  }
  return mounting;
}

Mounting mount_depth(Build& build, const Checked& section, Metres gauge_floor) {
  Mounting mounting;
  mounting.full = value_or<Metres>(section, "full");
  const std::size_t gauge = build.refer(section, "gauge", "gauges").value_or(0);
  const Metres sensor = value_or<Metres>(build.root.named("gauges").at(gauge), "mounted_at") + gauge_floor;
  mounting.to_floor = -sensor;
  if (section.get<Metres>("full") && mounting.full <= sensor) {
    build.tell(section.at("full"), "the sensor is mounted above it, at " + to_text(sensor));
    mounting.full = Metres{};
  }
  if (section.has("to_floor")) {
    build.tell(section.at("to_floor"),
               "its gauge measures a depth; give full instead of to_floor and to_full");
  }
  return mounting;
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
}

Tank build_tank(Build& build, const Checked& section) {
  Tank tank;
  tank.id = section.id;
  tank.name = value_or<std::string>(section, "name", section.id);
  tank.gauge = {build.refer(section, "gauge", "gauges").value_or(0)};
  const Checked* holds = section.part("holds");
  const Inside inside = holds == nullptr ? Inside{} : build_inside(build, *holds);
  const bool by_depth = measures_of(build, section) == Measures::depth;
  tank.mounting = by_depth ? mount_depth(build, section, inside.gauge_floor)
                           : mount_distance(build, section, inside.gauge_floor);
  const Metres full = tank.mounting.full;
  tank.mounting.margin = std::max(full * kMarginOfSpan, kLeastMargin);
  tank.unusable = value_or<Metres>(section, "unusable");
  if (full > Metres{0.0} && tank.unusable >= full) {
    build.tell(section.at("unusable"), "expected less than the full line (" + to_text(full) + ")");
  }
  give_shape(build, section, tank, inside);
  tank.by_volume = value_or<std::string>(section, "by") == "volume";
  build.lowest_told.push_back(by_depth ? -tank.mounting.to_floor : inside.gauge_floor);
  return tank;
}

/// The memory of a gauge belongs to the mounting in one tank.
void expect_own_gauge(Build& build, const Checked& section,
                      std::map<std::string, std::string>& tanks_by_gauge) {
  const auto gauge = section.get<std::string>("gauge");
  if (!gauge) return;
  const auto [first, is_new] = tanks_by_gauge.emplace(*gauge, section.id);
  if (!is_new) {
    build.tell(section.at("gauge"),
               "tank '" + first->second + "' already has this gauge; a gauge measures one tank");
  }
}

}  // namespace

void build_tanks(Build& build) {
  std::map<std::string, std::string> tanks_by_gauge;
  for (const Checked& section : build.root.named("tanks")) {
    Tank tank = build_tank(build, section);
    expect_own_gauge(build, section, tanks_by_gauge);
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
