#include "stillwell/tank/shapes/revolution.hpp"

#include "stillwell/tank/shapes/bounded.hpp"
#include "stillwell/tank/shapes/quadrature.hpp"
#include "stillwell/tank/shapes/segment.hpp"
#include "stillwell/tank/shapes/taper.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwell::geometry {
namespace {

using std::numbers::pi;

/// A plane cuts a cone in a conic; with u the distance from the tip along the axis its half chord is
/// √(((k−t)u − z)((k+t)u + z)), k the cone's slope, t the plane's, z the plane's height over the tip. The two
/// roots lie `spread` to either side of `middle`, and the water's surface reaches from there to the rim.
double surface_of(const ConeBand& cone, const WaterPlane& plane) {
  const double slope = cone.radius / cone.depth;
  const double tilt = plane.sine / plane.cosine;
  const double over_tip = plane.over_axis(cone.depth);
  const double one = over_tip / (slope - tilt);
  const double other = -over_tip / (slope + tilt);
  const double spread = std::abs(one - other) / 2.0;
  const double reach = cone.depth - (one + other) / 2.0;
  if (!(reach > spread)) return 0.0;
  const double half_chord = std::sqrt((cone.depth - one) * (cone.depth - other));
  const double beyond = spread > 0.0 ? spread * spread * std::acosh(reach / spread) : 0.0;
  return std::sqrt((slope - tilt) * (slope + tilt)) * (reach * half_chord - beyond) / plane.cosine;
}

/// Stretched along the axis the ellipsoid is a sphere and the plane cuts it in a circle; the rim's plane cuts
/// a segment off that circle. `sag` is the segment's height.
double surface_of(const CapBand& cap, const WaterPlane& plane) {
  const double stretch = cap.radius / cap.half_axis;
  const double sine = plane.sine / stretch;
  const double norm = std::hypot(sine, plane.cosine);
  const double distance = (plane.level - plane.sine * cap.centre) / norm;
  if (!(std::abs(distance) < cap.radius)) return 0.0;
  const double circle = std::sqrt((cap.radius - distance) * (cap.radius + distance));
  const double rim = ((cap.rim.at - cap.centre) * stretch - distance * sine / norm) * norm / plane.cosine;
  const double at_rim = plane.over_axis(cap.rim.at);
  // Of a flat dish the circle is huge and the segment a sliver: the difference of the two would be noise.
  const double sag =
      rim > 0.0 ? (cap.rim.radius - at_rim) * (cap.rim.radius + at_rim) / (circle + rim) : circle - rim;
  return segment_area(circle, sag) / (stretch * norm);
}

/// Chords integrated along the bend, over the part of it that the plane crosses: there the surface is below
/// the wall overhead and above the wall underfoot.
double surface_of(const KnuckleBand& knuckle, const WaterPlane& plane) {
  const auto& [ring, bend, turn] = knuckle;
  const double lean = std::asin(plane.sine);
  const auto within = [bend = bend](double offset) {
    return std::acos(std::clamp(offset / bend, -1.0, 1.0));
  };
  const double overhead = within(plane.level - ring * plane.cosine);
  const double underfoot = within(-plane.level - ring * plane.cosine);
  const double from = std::max({0.0, lean - overhead, -lean - underfoot});
  const double to = std::min({turn, lean + overhead, -lean + underfoot});
  if (!(to > from)) return 0.0;
  const auto chord_along = [&knuckle, &plane](double angle) {
    const double radius = knuckle.ring + knuckle.bend * std::cos(angle);
    const double over = plane.over_axis(knuckle.bend * std::sin(angle));
    const double squared = std::max((radius - over) * (radius + over), 0.0);
    return 2.0 * std::sqrt(squared) * knuckle.bend * std::cos(angle);
  };
  return integral(chord_along, from, to) / plane.cosine;
}

std::optional<double> touching(const ConeBand& /*cone*/, double /*sine*/, double /*cosine*/) {
  return std::nullopt;
}

std::optional<double> touching(const CapBand& cap, double sine, double cosine) {
  const double reach = std::hypot(cap.half_axis * sine, cap.radius * cosine);
  const double at = cap.centre + cap.half_axis * cap.half_axis * sine / reach;
  if (at < cap.rim.at) return std::nullopt;
  return cap.centre * sine + reach;
}

std::optional<double> touching(const KnuckleBand& knuckle, double sine, double cosine) {
  const double lean = std::asin(sine);
  if (lean < 0.0 || lean > knuckle.turn) return std::nullopt;
  return knuckle.ring * cosine + knuckle.bend;
}

/// A knuckle on its tip. At u from the wide end its section is π·(ring + √(bend² − u²))²; multiplied out, the
/// middle term integrates to a slice of a circle, and the others to what never cancels near the narrow end.
class UprightKnuckle final : public Bounded {
 public:
  explicit UprightKnuckle(const KnuckleBand& band)
      : Bounded{band.bend * std::sin(band.turn)},
        ring_{band.ring},
        bend_{band.bend},
        narrow_{band.bend * std::cos(band.turn)} {}

 private:
  [[nodiscard]] double filled(double h) const override {
    const double u = top() - h;
    const double slice = segment_area(bend_, bend_ - u) - segment_area(bend_, bend_ - top());
    return pi * (ring_ * ring_ * h + ring_ * slice + h * (narrow_ * narrow_ + h * (2.0 * top() + u) / 3.0));
  }
  [[nodiscard]] double area(double h) const override {
    const double radius = ring_ + std::sqrt(narrow_ * narrow_ + h * (2.0 * top() - h));
    return pi * radius * radius;
  }

  double ring_;
  double bend_;
  double narrow_;  ///< the bend's own part of the radius at the narrow end
};

ShapePtr standing(const ConeBand& cone) {
  const double slope = cone.radius / cone.depth;
  return taper(cone.depth, {.a = 0.0, .b = 0.0, .c = pi * slope * slope});
}

ShapePtr standing(const CapBand& cap) {
  const double stretch = cap.radius / cap.half_axis;
  const double factor = pi * stretch * stretch;
  return taper(cap.centre + cap.half_axis - cap.rim.at,
               {.a = 0.0, .b = factor * 2.0 * cap.half_axis, .c = -factor});
}

ShapePtr standing(const KnuckleBand& knuckle) {
  return std::make_shared<UprightKnuckle>(knuckle);
}

}  // namespace

double surface(const Band& band, const WaterPlane& plane) {
  return std::visit([&plane](const auto& one) { return surface_of(one, plane); }, band);
}

std::optional<double> touching_level(const Band& band, double sine, double cosine) {
  return std::visit([sine, cosine](const auto& one) { return touching(one, sine, cosine); }, band);
}

ShapePtr upright(const Band& band) {
  return std::visit([](const auto& one) { return standing(one); }, band);
}

}  // namespace stillwell::geometry
