#pragma once
// The bands of which heads are made: a cone, a cap of an ellipsoid, a knuckle. Each is a body of revolution
// about the vessel's axis, and answers two questions: what is its section, level or tilted, and what is it
// when it stands on its tip. Bare numbers in metres.

#include "stillwell/tank/shape.hpp"

#include <optional>
#include <variant>

namespace stillwell::geometry {

/// The water's surface as a plane in a head's own frame, where x goes outward along the axis from the shell's
/// rim and z up, square to it: sine·x + cosine·z = level. The sine is that of the axis' slope, outward.
struct WaterPlane {
  double level;
  double sine;
  double cosine;  ///< above zero

  /// Height of the surface over the axis at x.
  [[nodiscard]] double over_axis(double x) const { return (level - sine * x) / cosine; }
};

/// A circle about the axis.
struct Ring {
  double at;  ///< along the axis, outward from the shell's rim
  double radius;
};

/// Straight from the rim to a point.
struct ConeBand {
  double radius;
  double depth;
};

/// What a plane square to the axis cuts off an ellipsoid of revolution.
struct CapBand {
  double centre;     ///< of the ellipsoid, along the axis
  double half_axis;  ///< of the ellipsoid, along the axis
  double radius;     ///< of the ellipsoid, across it
  Ring rim;          ///< where the cap begins
};

/// The inner part of a torus, tangent to the shell: radius(x) = ring + √(bend² − x²) up to x =
/// bend·sin(turn).
struct KnuckleBand {
  double ring;  ///< distance of the bend's centre from the axis
  double bend;  ///< radius of the bend
  double turn;  ///< angle over which it bends, from the shell
};

using Band = std::variant<ConeBand, CapBand, KnuckleBand>;

/// Area of the water's surface within the band, seen from above: dV/dh for a plane that rises by dh.
double surface(const Band& band, const WaterPlane& plane);

/// The largest sine·x + cosine·z on the band's inside, where a plane of that slope touches it; none when the
/// farthest point is on one of its end circles.
std::optional<double> touching_level(const Band& band, double sine, double cosine);

/// The band standing on its tip, and its height.
ShapePtr upright(const Band& band);

}  // namespace stillwell::geometry
