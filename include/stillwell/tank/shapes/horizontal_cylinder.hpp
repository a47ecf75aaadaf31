#pragma once
// A round vessel on its side: a shell and two heads, level or with its far end raised.

#include "stillwell/quantity/result.hpp"
#include "stillwell/tank/shape.hpp"
#include "stillwell/tank/shapes/head.hpp"

namespace stillwell {

struct HorizontalCylinder {
  Metres diameter;
  Metres length;  ///< of the shell, tangent to tangent
  Head near = Flat{};
  Head far = Flat{};
  Metres tilt{0.0};  ///< rise of the far end over `length`, at most a tenth of it
  Metres gauge_at{
      0.0};  ///< from the near end along the shell to where the gauge's plumb line meets the floor
};

/// Depths are from the lowest point inside along the vertical, also when it is tilted.
Result<ShapePtr> horizontal_cylinder(const HorizontalCylinder& dimensions);

/// How high the floor under the gauge is above the lowest point inside; zero without a tilt. What a gauge
/// finds over its own floor plus this is the depth that the shape knows. For dimensions that were accepted.
Metres floor_under_gauge(const HorizontalCylinder& dimensions);

}  // namespace stillwell
