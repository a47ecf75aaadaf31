#include "stillwell/site/levels.hpp"

#include "stillwell/site/float_levels.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwell {
namespace {

/// Rule 4: another gauge of the tank, itself believed, may say that an unreachable level is the water after
/// all.
void confirm_by_fellows(const Tank& tank, Memory& memory) {
  for (const TankGauge& one : tank.gauges) {
    GaugeMemory& doubtful = memory.gauges[one.gauge.at];
    if (!has_jumped(doubtful)) continue;
    const bool confirmed = std::any_of(tank.gauges.begin(), tank.gauges.end(), [&](const TankGauge& other) {
      const GaugeMemory& fellow = memory.gauges[other.gauge.at];
      if (!fellow.trusted || !fellow.accepted) return false;
      return std::abs((*fellow.accepted - doubtful.shown->level).value()) <= tank.combine.disagree.value();
    });
    if (confirmed) confirm(doubtful);
  }
}

/// Rule 4: so may a float at a known height, while no gauge of the tank is believed.
void confirm_by_mark(const Model& model, const Tank& tank, Memory& memory, const TankMark& mark,
                     const SwitchState& state) {
  for (const TankGauge& one : tank.gauges) {
    GaugeMemory& gauge = memory.gauges[one.gauge.at];
    const auto shown = plateau(gauge, model.gauges[one.gauge.at].rules);
    if (shown && confirms(memory.marks[mark.input.at], mark.rules, state, gauge.motion, *shown))
      confirm(gauge);
  }
}

void heed_marks(const Model& model, const Tank& tank, Memory& memory, const Level& level, Instant now) {
  for (const TankMark& mark : tank.marks) {
    const std::size_t at = mark.input.at;
    const SwitchState state = state_of(memory.switches[at], model.switches[at].rules, now);
    if (!level.usable()) {
      confirm_by_mark(model, tank, memory, mark, state);
      continue;
    }
    const Duration patience = model.gauges[tank.gauges.front().gauge.at].rules.stale_after;
    follow(memory.marks[at], mark.rules, state, {*level.level, level.at}, patience);
  }
}

Level read_tank(const Model& model, TankIndex index, Memory& memory, const Readings& readings,
                const WaterMotion& water, Instant now) {
  const Tank& tank = model.tanks[index.at];
  std::array<Level, kMostGauges> levels;
  std::size_t count = 0;
  for (const TankGauge& one : tank.gauges) {
    const std::size_t at = one.gauge.at;
    const GaugeSample sample = at < readings.gauges.size() ? readings.gauges[at] : GaugeSample{};
    levels.at(count++) = follow(memory.gauges[at], sample, model.gauges[at].rules, one.mounting, water, now);
  }
  if (count > 1) confirm_by_fellows(tank, memory);
  const Level level = combine({levels.data(), count}, tank.combine);
  heed_marks(model, tank, memory, level, now);
  return level;
}

}  // namespace

std::vector<Level> read_levels(const Model& model, Memory& memory, const Readings& readings,
                               const std::vector<Motor>& motors, Instant now) {
  std::vector<Level> levels;
  levels.reserve(model.tanks.size());
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    if (const auto& floats = model.tanks[at].floats) {
      levels.push_back(quality_of(states_of(model, memory, *floats, now)));
      continue;
    }
    const WaterMotion water = water_motion(model, {at}, motors, last_level(model.tanks[at], memory));
    levels.push_back(read_tank(model, {at}, memory, readings, water, now));
  }
  return levels;
}

std::vector<Refused> refused(const Tank& tank, const Memory& memory) {
  std::vector<Refused> found;
  for (const TankGauge& one : tank.gauges) {
    const GaugeMemory& gauge = memory.gauges[one.gauge.at];
    if (waits_for_confirmation(gauge)) found.push_back({one.gauge, gauge.shown->level});
  }
  return found;
}

void accept(const std::vector<Refused>& readings, Memory& memory) {
  for (const Refused& one : readings)
    confirm(memory.gauges[one.gauge.at]);
}

std::optional<Metres> last_level(const Tank& tank, const Memory& memory) {
  std::optional<Metres> last;
  Instant newest{};
  for (const TankGauge& one : tank.gauges) {
    const GaugeMemory& gauge = memory.gauges[one.gauge.at];
    if (!gauge.accepted || (last && gauge.accepted_at.value_or(Instant{}) <= newest)) continue;
    last = gauge.accepted;
    newest = gauge.accepted_at.value_or(Instant{});
  }
  return last;
}

Metres smooth(SmoothedLevel& memory, const Tank& tank, const Level& level) {
  if (!memory.level || tank.smooth <= Duration{0}) {
    memory = {level.level, level.at};
  } else if (level.at > memory.at) {
    const double share = 1.0 - std::exp(-seconds_of(level.at - memory.at) / seconds_of(tank.smooth));
    *memory.level += (*level.level - *memory.level) * share;
    memory.at = level.at;
  }
  return *memory.level;
}

}  // namespace stillwell
