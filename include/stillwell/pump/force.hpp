#pragma once
// The proof test of a pump (rule 18): how each cause of the table is brought about without touching the
// water. What the pump sees is changed only towards a trip: a force hides nothing that speaks against
// running, and where it would, it is not applied.

#include "stillwell/pump/pump.hpp"

#include <cstdint>
#include <string_view>

namespace stillwell {

enum class Forcing : std::uint8_t {
  running,   ///< of a pump that runs: it must stop
  standing,  ///< of a pump that stands: it must not start
  command,   ///< of a pump that runs, as a person would: by switching it off or taking it out of service
  none,      ///< nothing brings it about
};

Forcing forcing_of(const Pump& pump, Cause cause);

/// Why it is not forced, and how else it is shown; empty when it is.
std::string_view why_not_forced(const Pump& pump, Cause cause);

/// Whether it can be found at all while the pump stands; what is seen of its motor and its water is not.
bool is_found_while_standing(Cause cause);

/// Changes what the pump sees so that the cause comes about. `order` is what its contact was last told. What
/// the pump does not have, cannot read, or already sees speak against it stays as it is.
void force(PumpInputs& inputs, const Pump& pump, Order order, Cause cause);

}  // namespace stillwell
