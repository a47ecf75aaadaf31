#pragma once
// An upright round vessel on a bottom that is not flat. It has no top of its own: the full line is the
// tank's.

#include "stillwell/quantity/result.hpp"
#include "stillwell/tank/shape.hpp"
#include "stillwell/tank/shapes/head.hpp"

namespace stillwell {

/// Depth is from the lowest point of the bottom.
Result<ShapePtr> vertical_cylinder(Metres diameter, const Head& bottom);

}  // namespace stillwell
