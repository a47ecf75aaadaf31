#pragma once
// Lying vessels with flat ends: the same section all along.

#include "stillwell/quantity/result.hpp"
#include "stillwell/tank/shape.hpp"

namespace stillwell {

struct LyingVessel {
  Metres width;
  Metres height;
  Metres length;
};

/// An ellipse all along.
Result<ShapePtr> horizontal_oval(const LyingVessel& dimensions);
/// Two half circles joined by straight walls (a stadium), lying or standing as width and height say.
Result<ShapePtr> horizontal_obround(const LyingVessel& dimensions);

}  // namespace stillwell
