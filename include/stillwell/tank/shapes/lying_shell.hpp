#pragma once
// The two ways of a round vessel on its side. Bare numbers in metres; dimensions already checked.

#include "stillwell/tank/shapes/dome.hpp"

namespace stillwell::geometry {

struct LyingShell {
  double radius = 0.0;
  double length = 0.0;
  Dome near;
  Dome far;
  double rise = 0.0;  ///< of the far end over the length
};

/// Formulae where there are, a table for dished and torispherical heads alone. The rise is not looked at.
ShapePtr level_vessel(const LyingShell& shell);

/// A table for all of it. The rise is above zero.
ShapePtr tilted_vessel(const LyingShell& shell);

/// Height of the lowest point inside, from the shell's axis at its near end; below zero.
double lowest_point(const LyingShell& shell);

}  // namespace stillwell::geometry
