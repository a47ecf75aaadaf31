#pragma once
// A gauge that stands still while something must be moving the water shows something else than the water: a
// spider, a stuck float tube, a module that repeats its last answer. Still water by itself proves nothing.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/motion.hpp"
#include "stillwell/reading/quality.hpp"

#include <optional>

namespace stillwell {

struct FrozenRules {
  Metres still_within{};  ///< a range of readings no wider than this is no movement: resolution and noise
  Metres must_move{};     ///< how far the water must have moved before stillness is a fault; well above
                          ///< `still_within`, or a slow but true gauge is accused
};

struct FrozenMemory {
  std::optional<Instant> at;
  Metres lowest_seen{};
  Metres highest_seen{};
  Metres moved{};  ///< how far the water must have moved since the gauge last did; up is positive
  Metres lowest_moved{};
  Metres highest_moved{};
  bool frozen = false;
};

/// `at_least`, up positive, is the slowest that the level can have moved since the reading before: pump flow
/// less the largest draw, over the area; zero when nothing must move it. Once frozen, it stays so until the
/// reading moves, also after the pump has stopped. Returns none or frozen; a reading that is NaN changes
/// nothing.
Reason follow(FrozenMemory& memory, const Seen& seen, MetresPerSecond at_least, const FrozenRules& rules);

}  // namespace stillwell
