#pragma once
// What a motor has used, counted from what its meter shows. Only what was seen counts: a gap in the readings
// adds nothing, because nobody knows whether the motor ran in it.

#include "stillwell/quantity/energy.hpp"
#include "stillwell/reading/meter.hpp"

#include <optional>

namespace stillwell {

struct EnergyMemory {
  Joules used{};                   ///< in all
  std::optional<MeterState> last;  ///< the reading from which the next one counts; empty after a gap
};

/// One scan of a meter that shows watts. Between two readings in a row the power is taken as the mean of both
/// (the trapezoidal rule); two that are farther apart than `stale_after` have a gap between them.
void count_energy(EnergyMemory& memory, const MeterState& shown, Duration stale_after);

}  // namespace stillwell
