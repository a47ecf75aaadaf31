#include "stillwell/tank/shapes/dome.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/tank/shapes/dimension.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::geometry {
namespace {

Dome ellipsoid(double radius, double depth) {
  const Ring rim{.at = 0.0, .radius = radius};
  return {.bands = {CapBand{.centre = 0.0, .half_axis = depth, .radius = radius, .rim = rim}},
          .rings = {rim},
          .depth = depth};
}

/// A depth that would be no head of this kind any more, with the advice for it.
struct Deepest {
  Metres depth;
  std::string_view advice;
};

std::optional<Failure> wrong_depth(Metres depth, const Deepest& deepest) {
  if (!(depth.value() > 0.0) || !std::isfinite(depth.value()))
    return Failure{"depth is " + in_words(depth) +
                   "; give how far the head reaches beyond the shell, or flat"};
  if (depth > deepest.depth)
    return Failure{"depth is " + in_words(depth) + ", more than " + in_words(deepest.depth) + "; " +
                   std::string(deepest.advice)};
  return std::nullopt;
}

Result<Dome> made(const Flat& /*head*/, Metres diameter) {
  return Dome{.bands = {}, .rings = {{.at = 0.0, .radius = diameter.value() / 2.0}}};
}

Result<Dome> made(const Hemispherical& /*head*/, Metres diameter) {
  return ellipsoid(diameter.value() / 2.0, diameter.value() / 2.0);
}

Result<Dome> made(const Ellipsoidal& head, Metres diameter) {
  const Metres depth = head.depth.value_or(diameter / 4.0);
  // Deeper than half the diameter it is a prolate one, rare but possible; beyond a diameter a slip of the
  // pen.
  if (auto wrong = wrong_depth(depth, {diameter, "an ellipsoidal head is at most a diameter deep"}))
    return *std::move(wrong);
  return ellipsoid(diameter.value() / 2.0, depth.value());
}

Result<Dome> made(const Conical& head, Metres diameter) {
  const Deepest deepest{4.0 * diameter, "a head so slender is a shape of its own: use a stack with a cone"};
  if (auto wrong = wrong_depth(head.depth, deepest)) return *std::move(wrong);
  const double radius = diameter.value() / 2.0;
  const double depth = head.depth.value();
  return Dome{.bands = {ConeBand{.radius = radius, .depth = depth}},
              .rings = {{.at = 0.0, .radius = radius}, {.at = depth, .radius = 0.0}},
              .depth = depth};
}

Result<Dome> made(const Dished& head, Metres diameter) {
  const Deepest deepest{diameter / 2.0, "a spherical cap is at most a hemisphere: half the diameter"};
  if (auto wrong = wrong_depth(head.depth, deepest)) return *std::move(wrong);
  const double depth = head.depth.value();
  const Ring rim{.at = 0.0, .radius = diameter.value() / 2.0};
  const double sphere = (rim.radius * rim.radius + depth * depth) / (2.0 * depth);
  return Dome{.bands = {CapBand{.centre = depth - sphere, .half_axis = sphere, .radius = sphere, .rim = rim}},
              .rings = {rim},
              .depth = depth};
}

std::optional<Failure> wrong_radii(const Torispherical& head) {
  const std::string crown = "crown is " + shortest(head.crown);
  const std::string knuckle = "knuckle is " + shortest(head.knuckle);
  if (!(head.crown >= 0.5 && head.crown <= 5.0))
    return Failure{crown + "; give it as a fraction of the diameter, 0.5 (a hemisphere) to 5"};
  if (!(head.knuckle > 0.0 && head.knuckle <= 0.5))
    return Failure{knuckle + "; give it as a fraction of the diameter, above 0 and at most 0.5"};
  if (head.knuckle > head.crown)
    return Failure{knuckle + ", more than the crown's " + shortest(head.crown) +
                   "; the crown is the larger radius, the knuckle the smaller"};
  return std::nullopt;
}

/// The knuckle turns from the shell until its slope is the crown's: sin(alpha) = (D/2 − k)/(f − k), alpha the
/// crown's half angle (the proportions of DIN 28011 and 28013 and the ASME forms follow from it).
Result<Dome> made(const Torispherical& head, Metres diameter) {
  if (auto wrong = wrong_radii(head)) return *std::move(wrong);
  const double radius = diameter.value() / 2.0;
  const double crown = head.crown * diameter.value();
  const double bend = head.knuckle * diameter.value();
  if (head.crown == 0.5) return ellipsoid(radius, radius);
  const double sine = (radius - bend) / (crown - bend);
  const double cosine = std::sqrt((1.0 - sine) * (1.0 + sine));
  const Ring joint{.at = bend * cosine, .radius = crown * sine};
  const double depth = joint.at + crown * sine * sine / (1.0 + cosine);  // crown·(1 − cos), flat crowns too
  return Dome{.bands = {KnuckleBand{.ring = radius - bend, .bend = bend, .turn = std::acos(sine)},
                        CapBand{.centre = depth - crown, .half_axis = crown, .radius = crown, .rim = joint}},
              .rings = {{.at = 0.0, .radius = radius}, joint},
              .depth = depth};
}

}  // namespace

double Dome::surface_at(const WaterPlane& plane) const {
  double sum = 0.0;
  for (const Band& band : bands)
    sum += surface(band, plane);
  return sum;
}

double Dome::reach(double sine, double cosine) const {
  double farthest = rings.front().at * sine + rings.front().radius * cosine;
  for (const Ring& ring : rings)
    farthest = std::max(farthest, ring.at * sine + ring.radius * cosine);
  for (const Band& band : bands)
    farthest = std::max(farthest, touching_level(band, sine, cosine).value_or(farthest));
  return farthest;
}

std::vector<StackSection> Dome::upright_bands() const {
  std::vector<StackSection> sections;
  for (const Band& band : bands) {
    const ShapePtr standing = upright(band);
    sections.push_back({.shape = standing, .height = *standing->height()});
  }
  std::ranges::reverse(sections);
  return sections;
}

Result<Dome> make_dome(const Head& head, Metres diameter) {
  return std::visit([diameter](const auto& one) { return made(one, diameter); }, head);
}

}  // namespace stillwell::geometry

namespace stillwell {

Result<HeadSize> size_of(const Head& head, Metres diameter) {
  if (auto wrong = not_positive({{"diameter", diameter}})) return *std::move(wrong);
  const auto dome = geometry::make_dome(head, diameter);
  if (!dome) return Failure{dome.error()};
  Litres volume{0.0};
  for (const auto& [shape, height] : dome->upright_bands())
    volume += shape->volume(height);
  return HeadSize{.depth = Metres{dome->depth}, .volume = volume};
}

}  // namespace stillwell
