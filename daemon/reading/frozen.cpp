#include "stillwell/reading/frozen.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

FrozenMemory beginning_with(const Seen& seen) {
  return {.at = seen.at, .lowest_seen = seen.level, .highest_seen = seen.level};
}

void expect(FrozenMemory& memory, Instant now, MetresPerSecond at_least) {
  if (now <= *memory.at) return;
  if (std::isfinite(at_least.value())) {
    memory.moved += Metres{at_least.value() * seconds_of(now - *memory.at)};
    // The range and not the net movement: up and down again is movement too.
    memory.lowest_moved = std::min(memory.lowest_moved, memory.moved);
    memory.highest_moved = std::max(memory.highest_moved, memory.moved);
  }
  memory.at = now;
}

}  // namespace

Reason follow(FrozenMemory& memory, const Seen& seen, MetresPerSecond at_least, const FrozenRules& rules) {
  if (std::isfinite(seen.level.value())) {
    if (!memory.at) memory = beginning_with(seen);
    expect(memory, seen.at, at_least);
    memory.lowest_seen = std::min(memory.lowest_seen, seen.level);
    memory.highest_seen = std::max(memory.highest_seen, seen.level);
    if (memory.highest_seen - memory.lowest_seen > rules.still_within) {
      memory = beginning_with(seen);
    } else if (memory.highest_moved - memory.lowest_moved >= rules.must_move) {
      memory.frozen = true;
    }
  }
  return memory.frozen ? Reason::frozen : Reason::none;
}

}  // namespace stillwell
