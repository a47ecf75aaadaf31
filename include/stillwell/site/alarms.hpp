#pragma once
// The alarms of the whole site in one scan: whose condition holds, what puts one aside by design, and what is
// told of it.

#include "stillwell/site/alarm_story.hpp"
#include "stillwell/site/solve.hpp"

#include <optional>
#include <vector>

namespace stillwell {

/// What alarms are judged by, after levels, accounts and pumps of the scan are known.
struct AlarmSight {
  const Model& model;
  const Memory& memory;
  const InputImage& image;
  const std::vector<Level>& levels;  ///< by tank
  Instant now;
};

/// Whether the condition of an alarm holds; empty when nobody can say, and then nothing changes.
std::optional<bool> holds(const AlarmSight& sight, const Alarm& alarm, bool active);

/// A tank or pump that is out of service takes its alarms with it, but for those that say that a motor may
/// run while somebody works on it. An alarm that another one, or a tank that is out, makes meaningless is
/// suppressed.
Aside aside_of(const AlarmSight& sight, const Alarm& alarm);

/// How fast the level of a tank moves; empty while nobody can say.
std::optional<LevelRate> rate_of(const AlarmSight& sight, TankIndex tank);

/// A change of the state of an alarm, by its position: with the numbers and the cause behind it, and what
/// brought it.
Event tell(const AlarmSight& sight, std::size_t alarm);

/// Remembers how each line answers. Three exchanges without any answer on it are no accident: nothing on it
/// speaks, or it is closed.
void follow(LineMemory& memory, const LineSample& sample);

}  // namespace stillwell
