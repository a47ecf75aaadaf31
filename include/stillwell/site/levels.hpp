#pragma once
// From the gauges' readings to the level of each tank.

#include "stillwell/site/solve.hpp"
#include "stillwell/site/water_motion.hpp"

#include <vector>

namespace stillwell {

/// Of every tank, in the order of the model; of one that is kept by floats its quality alone, as its switches
/// were followed. `motors` are those of the time since the last scan.
std::vector<Level> read_levels(const Model& model, Memory& memory, const Readings& readings,
                               const std::vector<Motor>& motors, Instant now);

/// What gauges of the tank show and nobody believes: they jumped or stand still.
std::vector<Refused> refused(const Tank& tank, const Memory& memory);
/// A person says that it is the water after all.
void accept(const std::vector<Refused>& readings, Memory& memory);

/// The last accepted level of a tank, however old.
std::optional<Metres> last_level(const Tank& tank, const Memory& memory);

/// The level that people are shown: the accepted one, without its ripples.
Metres smooth(SmoothedLevel& memory, const Tank& tank, const Level& level);

}  // namespace stillwell
