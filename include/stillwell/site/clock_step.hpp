#pragma once
// Whether somebody has just set the wall clock. A step changes no delay, and starts no pump (rule 21): what
// the time of day allows is believed again when the clock has gone evenly for a while.

#include "stillwell/quantity/time.hpp"

#include <optional>

namespace stillwell {

struct ClockMemory {
  std::optional<Duration> ahead;  ///< of the monotonic clock, when it was last seen
  std::optional<Instant> stepped_at;
};

/// `wall`: what it shows in this scan; empty while it is not trusted. The first sight of it is no step.
void follow(ClockMemory& memory, std::optional<Stamp> wall, Instant now);

/// Within the last minute.
bool has_stepped(const ClockMemory& memory, Instant now);

}  // namespace stillwell
