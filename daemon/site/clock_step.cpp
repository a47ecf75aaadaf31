#include "stillwell/site/clock_step.hpp"

namespace stillwell {
namespace {

// A clock that is kept right is slewed by half a millisecond a second at most (adjtimex(2)): in the longest
// scan that is 30 ms. What is set by more was set by somebody.
constexpr Duration kLeastStep = std::chrono::seconds{2};
/// A time server that steps a clock does so once or twice. Common practice, no source.
constexpr Duration kSettles = std::chrono::minutes{1};

}  // namespace

void follow(ClockMemory& memory, std::optional<Stamp> wall, Instant now) {
  if (!wall) return;
  const Duration ahead = wall->time_since_epoch() - now.time_since_epoch();
  if (memory.ahead) {
    const Duration change = ahead - *memory.ahead;
    if (change > kLeastStep || change < -kLeastStep) memory.stepped_at = now;
  }
  memory.ahead = ahead;
}

bool has_stepped(const ClockMemory& memory, Instant now) {
  return memory.stepped_at && now - *memory.stepped_at < kSettles;
}

}  // namespace stillwell
