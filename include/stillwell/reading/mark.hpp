#pragma once
// A float that hangs at a known height of a tank with a gauge. It tells of one height on which side of it the
// water is, and so may confirm what the gauge shows after a jump (rule 4).
//
// It is a witness only while it is known to move: it and the gauge must last have seen the water together on
// one side, and it must have turned since. One that hangs fast, or stood there before the jump, says nothing;
// nor does one in the state that a broken wire shows.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/motion.hpp"
#include "stillwell/reading/switch.hpp"

#include <cstdint>
#include <optional>

namespace stillwell {

enum class Side : std::uint8_t { below, above };

struct MarkRules {
  Metres at{};                ///< above the lowest point inside
  Metres swing{};             ///< so far on either side of it the float may turn
  bool on_is_above = true;    ///< on: the water is above it
  bool broken_is_on = false;  ///< what its broken wire looks like
};

struct MarkMemory {
  std::optional<Side> agreed;  ///< where it and the gauge last saw the water together; none: not a witness
  std::optional<Instant> against;  ///< its reading that began to contradict the gauge
};

/// What the float says; empty while it cannot be read.
std::optional<Side> side_of(const MarkRules& rules, const SwitchState& state);
/// Where a level is; empty within the swing.
std::optional<Side> side_of(const MarkRules& rules, Metres level);

/// Holds the float against the level that was accepted last. One that contradicts it, and goes on to do so
/// while readings are accepted for longer than `patience`, is no witness until they agree again. After a true
/// jump none is accepted.
void follow(MarkMemory& memory, const MarkRules& rules, const SwitchState& state, const Seen& accepted,
            Duration patience);

/// Whether the float tells the plateau from every level that the water can have reached: it has turned, all
/// of them are on its other side, and the plateau is not.
bool confirms(const MarkMemory& memory, const MarkRules& rules, const SwitchState& state,
              const MotionMemory& motion, Metres plateau);

}  // namespace stillwell
