#include "stillwell/reading/motion.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

Metres most(MetresPerSecond speed, Duration elapsed) {
  const bool counts = std::isfinite(speed.value()) && speed > MetresPerSecond{0.0};
  return counts ? Metres{speed.value() * seconds_of(elapsed)} : Metres{0.0};
}

/// The fence stands a tolerance before the refused level, so that the echo's own noise does not climb it. A
/// level that is barely out of reach sets up none: it may be the water's own noise, and the fence would shut
/// out the water that rises behind it.
void refuse(MotionMemory& memory, Metres level, Metres tolerance) {
  if (!std::isfinite(level.value())) return;
  if (level > memory.highest + tolerance * 2.0) {
    memory.fence_above = std::min(level - tolerance, memory.fence_above.value_or(level));
  } else if (level < memory.lowest - tolerance * 2.0) {
    memory.fence_below = std::max(level + tolerance, memory.fence_below.value_or(level));
  }
}

}  // namespace

void let_move(MotionMemory& memory, Instant now, const Fastest& fastest) {
  if (!memory.accepted || now <= memory.at) return;
  memory.highest += most(fastest.rise, now - memory.at);
  memory.lowest -= most(fastest.fall, now - memory.at);
  memory.at = now;
}

bool reachable(const MotionMemory& memory, Metres level, Metres tolerance) {
  if (!memory.accepted) return std::isfinite(level.value());
  if (!(level <= memory.highest + tolerance && level >= memory.lowest - tolerance)) return false;
  if (memory.fence_above && !(level < *memory.fence_above)) return false;
  return !memory.fence_below || level > *memory.fence_below;
}

Reason judge(MotionMemory& memory, const Seen& seen, const Fastest& fastest, Metres tolerance) {
  let_move(memory, seen.at, fastest);
  if (reachable(memory, seen.level, tolerance)) return Reason::none;
  if (memory.accepted) refuse(memory, seen.level, tolerance);
  return Reason::jump;
}

Reason follow(MotionMemory& memory, const Seen& seen, const Fastest& fastest, Metres tolerance) {
  const Reason reason = judge(memory, seen, fastest, tolerance);
  if (reason == Reason::none) confirm(memory, seen);
  return reason;
}

void confirm(MotionMemory& memory, const Seen& seen) {
  if (!std::isfinite(seen.level.value())) return;
  memory = {.accepted = seen.level, .lowest = seen.level, .highest = seen.level, .at = seen.at};
}

}  // namespace stillwell
