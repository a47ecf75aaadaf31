#pragma once
// The cone that a sensor looks through. What stands in it echoes: a wall, a ladder, the inlet's stream.

#include "stillwell/quantity/quantity.hpp"

namespace stillwell {

/// Width of the beam's footprint at a distance, for a beam of this whole angle from a point: 2·d·tan(α/2).
/// Not a number for an angle that is not between 0 and 180 degrees.
Metres footprint(Metres distance, Degrees beam);

}  // namespace stillwell
