#pragma once
// A push-button: what counts as pressing it. One that cannot be read, that hangs, or that is found pressed
// says nothing: a press is a change that was seen from its beginning.

#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/switch.hpp"

#include <optional>

namespace stillwell {

struct PressMemory {
  bool released = false;      ///< it was seen off, and was not pressed since
  std::optional<Instant> on;  ///< when it was first read as on after that
};

/// True once for each press: from a known off to an on that a reading at least `debounce` later still shows.
/// A single reading is not enough for any debounce but zero, because a disturbed line can give one.
bool follow(PressMemory& memory, const SwitchState& button, Duration debounce);

}  // namespace stillwell
