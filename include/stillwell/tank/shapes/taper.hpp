#pragma once
// Shapes whose level section is quadratic in the depth: A(h) = a + b·h + c·h². That is every cone, frustum,
// sphere, spherical cap, ellipsoid and prismatoid, and their volume is exactly V(h) = a·h + b·h²/2 + c·h³/3.

#include "stillwell/quantity/result.hpp"
#include "stillwell/tank/shape.hpp"

namespace stillwell {

struct Frustum {
  Metres bottom;  ///< diameter; zero for a point
  Metres top;     ///< diameter; zero for a point
  Metres height;
};

struct Rectangle {
  Metres length;
  Metres width;
};

/// A rectangle below, a rectangle above, straight sides between (a prismatoid).
struct RectangularFrustum {
  Rectangle bottom;
  Rectangle top;
  Metres height;
};

/// A cone, point down.
Result<ShapePtr> cone(Metres diameter, Metres height);
Result<ShapePtr> frustum(const Frustum& dimensions);
Result<ShapePtr> rectangular_frustum(const RectangularFrustum& dimensions);
/// A sphere; a dish is a sphere whose full line is low.
Result<ShapePtr> sphere(Metres diameter);

namespace geometry {

/// The section in square metres at h metres: a + b·h + c·h².
struct Section {
  double a;
  double b;
  double c;
};

ShapePtr taper(double height, const Section& section);

}  // namespace geometry
}  // namespace stillwell
