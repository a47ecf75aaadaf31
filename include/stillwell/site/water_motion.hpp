#pragma once
// What the pumps, and what the owner said of rain and draw, let the water of a tank do just now. A reading
// that does more is a jump; a gauge that shows less than it must is frozen.

#include "stillwell/site/model.hpp"

#include <optional>
#include <vector>

namespace stillwell {

/// What is known of a pump's motor.
enum class Motor : std::uint8_t {
  still,    ///< its contact is confirmed off
  unknown,  ///< ordered on, or its contact is not confirmed: it may run
  running,  ///< its contact is confirmed on, and its feedback, where there is one, agrees
};

/// Of every pump, from what was read and what was ordered last.
std::vector<Motor> motors(const Model& model, const Readings& readings,
                          const std::vector<SwitchState>& switches, const std::vector<PumpMemory>& pumps);

/// At `level`, the last one known; empty: nothing is known, and only Tank::fastest binds.
WaterMotion water_motion(const Model& model, TankIndex tank, const std::vector<Motor>& motors,
                         std::optional<Metres> level);

/// As fast as all pumps of a tank together can move its water where it is narrowest, but for its lowest
/// tenth: near the point of a cone every speed is possible. Pumps without a flow_rate count as none.
MetresPerSecond fastest_by_pumps(const Model& model, TankIndex tank);

}  // namespace stillwell
