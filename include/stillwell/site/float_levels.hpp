#pragma once
// A tank that is kept by floats has no level, and still is well or unwell: a quality with its reason, as any
// other tank's.

#include "stillwell/reading/level.hpp"
#include "stillwell/site/solve.hpp"

#include <string>

namespace stillwell {

/// As the switches were followed last.
FloatStates states_of(const Model& model, const Memory& memory, const TankFloats& floats, Instant now);

/// Never usable, since it carries no level. Good while the floats agree; bad as `disagree` where no water
/// stands so, and with the reason of the first that cannot be read.
Level quality_of(const FloatStates& floats);

/// "sump-stop on, sump-start off, sump-high unreadable (no-answer)"
std::string tell_floats(const Model& model, const Memory& memory, const TankFloats& floats, Instant now);

}  // namespace stillwell
