#pragma once
// No water moves faster than pumps, pipes and the tank's area allow. From the last accepted level a band of
// reachable levels grows with time; a reading outside it is a jump.
//
// A plateau is not the truth (rule 4): a false echo that was unreachable when it appeared does not become
// true by staying until the band has grown to it. A refused level therefore sets up a fence just before it,
// which does not move with time: whatever lies beyond stays refused until a level on this side of the fence
// is accepted, or until another gauge, a float or a person confirms what the gauge shows.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/quality.hpp"

#include <optional>

namespace stillwell {

/// A level as a gauge showed it.
struct Seen {
  Metres level{};
  Instant at{};
};

/// The fastest that the level can move either way, both zero or more; they may change with what runs. With
/// nothing that could fill the tank, nothing rises.
struct Fastest {
  MetresPerSecond rise{};
  MetresPerSecond fall{};
};

/// Outlives a restart when saved; `at` is then set to the instant that the saved levels were true at, on the
/// new clock.
struct MotionMemory {
  std::optional<Metres> accepted;  ///< the last accepted level; before the first, everything is reachable
  Metres lowest{};                 ///< the band of reachable levels at `at`
  Metres highest{};
  Instant at{};
  std::optional<Metres> fence_above;  ///< this and whatever is higher was refused
  std::optional<Metres> fence_below;

  [[nodiscard]] bool doubting() const { return fence_above || fence_below; }
};

/// Lets the water move: widens the band by what it can have moved since the last call. To be told of each
/// change of `fastest` before it happens; a speed that is none, negative or infinite, widens nothing.
void let_move(MotionMemory& memory, Instant now, const Fastest& fastest);

/// Whether the level lies inside the band, as last moved, and on this side of the fences. `tolerance` is how
/// far two true readings of still water may differ: what creeps by less from reading to reading is no jump.
bool reachable(const MotionMemory& memory, Metres level, Metres tolerance);

/// Moves the water up to the reading's instant and judges the reading: none; or jump, and the fence is set.
Reason judge(MotionMemory& memory, const Seen& seen, const Fastest& fastest, Metres tolerance);

/// The same, and a reading that is no jump is the new accepted level.
Reason follow(MotionMemory& memory, const Seen& seen, const Fastest& fastest, Metres tolerance);

/// Another gauge, a float or a person says that the gauge is right: its level is accepted, however it came
/// there.
void confirm(MotionMemory& memory, const Seen& seen);

}  // namespace stillwell
