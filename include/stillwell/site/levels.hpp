#pragma once
// From the gauges' readings to the level of each tank.

#include "stillwell/site/solve.hpp"
#include "stillwell/site/water_motion.hpp"

#include <vector>

namespace stillwell {

/// Of every tank, in the order of the model. `motors` are those of the time since the last scan.
std::vector<Level> read_levels(const Model& model, Memory& memory, const Readings& readings,
                               const std::vector<Motor>& motors, Instant now);

/// A person says that what the tank's gauges show is the water. Returns the level; empty when none of them
/// waits for that.
std::optional<Metres> accept(const Model& model, Memory& memory, TankIndex tank);

/// The last accepted level of a tank, however old.
std::optional<Metres> last_level(const Tank& tank, const Memory& memory);

/// The level that people are shown: the accepted one, without its ripples.
Metres smooth(SmoothedLevel& memory, const Tank& tank, const Level& level);

}  // namespace stillwell
