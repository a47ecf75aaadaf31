#include "stillwell/tank/outline.hpp"

#include "stillwell/tank/shapes/vertical_cylinder.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwell {
namespace {

constexpr int kSteps = 96;  // of a curve: smooth on paper

/// Heights that lie closer together near both ends, where curves are steep.
Metres bent_height(Metres bent, int step) {
  return bent * ((1.0 - std::cos(std::numbers::pi * step / kSteps)) / 2.0);
}

OutlineSpan centred(Metres height, Metres width) {
  return {.height = height, .left = -width / 2.0, .right = width / 2.0};
}

template <class Width>
std::vector<OutlineSpan> sampled(Metres bent, const Width& width) {
  if (!(bent > Metres{0.0})) return {centred({}, width(Metres{0.0}))};
  std::vector<OutlineSpan> spans;
  for (int step = 0; step <= kSteps; ++step) {
    const Metres height = bent_height(bent, step);
    spans.push_back(centred(height, width(height)));
  }
  return spans;
}

Metres round_width(SquareMetres area) {
  return Metres{2.0 * std::sqrt(std::max(area.value(), 0.0) / std::numbers::pi)};
}

struct Corner {
  double x;
  double z;
};

/// Half of a head's outline, from the shell's rim outward to its tip: how far beyond the rim, how far from
/// the axis. From the head as the bottom of an upright vessel, which is the same body.
std::vector<Corner> head_curve(const Head& head, Metres diameter) {
  const auto size = size_of(head, diameter);
  const auto upright = vertical_cylinder(diameter, head);
  const Metres depth = size ? size->depth : Metres{0.0};
  if (!upright || !(depth > Metres{0.0})) return {{0.0, diameter.value() / 2.0}};
  std::vector<Corner> curve;
  for (int step = kSteps; step >= 0; --step) {
    const Metres height = bent_height(depth, step);
    curve.push_back({(depth - height).value(), round_width((*upright)->surface(height)).value() / 2.0});
  }
  return curve;
}

/// All around, with the axis level and the near rim at zero.
std::vector<Corner> lying_corners(const HorizontalCylinder& of) {
  std::vector<Corner> corners;
  for (const Corner& one : head_curve(of.near, of.diameter)) {
    corners.push_back({-one.x, one.z});
    corners.push_back({-one.x, -one.z});
  }
  for (const Corner& one : head_curve(of.far, of.diameter)) {
    corners.push_back({of.length.value() + one.x, one.z});
    corners.push_back({of.length.value() + one.x, -one.z});
  }
  return corners;
}

double turn_of(const Corner& a, const Corner& b, const Corner& c) {
  return (b.x - a.x) * (c.z - a.z) - (b.z - a.z) * (c.x - a.x);
}

/// The corners along one side of a convex body from its lowest to its highest; `sign` is 1 for the left side,
/// -1 for the right one. Sorted by height, a corner that lies inside is dropped.
std::vector<Corner> side_of_body(const std::vector<Corner>& ascending, double sign) {
  std::vector<Corner> side;
  for (const Corner& corner : ascending) {
    while (side.size() >= 2 && sign * turn_of(side[side.size() - 2], side.back(), corner) >= 0.0)
      side.pop_back();
    side.push_back(corner);
  }
  return side;
}

double place_at(const std::vector<Corner>& side, double height) {
  const auto above = std::ranges::find_if(side, [&](const Corner& one) { return one.z >= height; });
  if (above == side.begin()) return side.front().x;
  if (above == side.end()) return side.back().x;
  const Corner& low = *(above - 1);
  const double share = (height - low.z) / (above->z - low.z);
  return low.x + share * (above->x - low.x);
}

/// A convex body by its corners, lowest at height zero.
std::vector<OutlineSpan> spans_of(std::vector<Corner> corners) {
  std::ranges::sort(corners,
                    [](const Corner& a, const Corner& b) { return a.z < b.z || (a.z == b.z && a.x < b.x); });
  const auto left = side_of_body(corners, 1.0);
  // Of two equally low or high the right side begins and ends with the right one.
  std::ranges::sort(corners,
                    [](const Corner& a, const Corner& b) { return a.z < b.z || (a.z == b.z && a.x > b.x); });
  const auto right = side_of_body(corners, -1.0);
  const double lowest = corners.front().z;
  std::vector<OutlineSpan> spans;
  for (const Corner& corner : corners) {
    const Metres height{corner.z - lowest};
    if (!spans.empty() && height <= spans.back().height) continue;
    spans.push_back({.height = height,
                     .left = Metres{place_at(left, corner.z)},
                     .right = Metres{place_at(right, corner.z)}});
  }
  return spans;
}

Metres middle_of(const Outline& outline) {
  const OutlineSpan extent = extent_of(outline);
  return (extent.left + extent.right) / 2.0;
}

}  // namespace

Outline round_outline(const Shape& shape, Metres bent) {
  return {.view = Elevation::round,
          .spans = sampled(bent, [&](Metres height) { return round_width(shape.surface(height)); }),
          .goes_on = !shape.height()};
}

Outline end_outline(const Shape& shape, Metres length) {
  const auto width = [&](Metres height) { return Metres{shape.surface(height).value() / length.value()}; };
  return {.view = Elevation::end, .spans = sampled(shape.height().value_or(Metres{0.0}), width)};
}

Outline box_outline(Metres width) {
  return {.view = Elevation::front, .spans = {centred({}, width)}, .goes_on = true};
}

Outline leaning_outline(Metres bottom, Metres top, Metres height) {
  return {.view = Elevation::front, .spans = {centred({}, bottom), centred(height, top)}};
}

Outline lying_outline(const HorizontalCylinder& dimensions) {
  const double sine = dimensions.tilt / dimensions.length;
  const double cosine = std::sqrt((1.0 - sine) * (1.0 + sine));
  std::vector<Corner> corners = lying_corners(dimensions);
  for (Corner& corner : corners)
    corner = {corner.x * cosine - corner.z * sine, corner.x * sine + corner.z * cosine};
  const bool nobody_said = dimensions.tilt == Metres{0.0} && dimensions.gauge_at == Metres{0.0};
  const Metres along = nobody_said ? dimensions.length / 2.0 : dimensions.gauge_at;
  return {.view = Elevation::side,
          .spans = spans_of(std::move(corners)),
          .gauge = along * cosine + dimensions.diameter / 2.0 * sine};
}

Outline even_outline(Litres capacity, Metres full) {
  const SquareMetres area{(capacity / kLitresPerCubicMetre).value() / full.value()};
  return {.view = Elevation::even, .spans = {centred({}, round_width(area))}, .goes_on = true};
}

Outline stacked_outline(const std::vector<OutlineSection>& sections) {
  Outline all{.view = Elevation::stack, .spans = {}};
  Metres floor{0.0};
  for (const OutlineSection& section : sections) {
    const Metres middle = middle_of(section.outline);
    const Outline storey = up_to(section.outline, section.height);
    for (const OutlineSpan& span : storey.spans)
      all.spans.push_back(
          {.height = floor + span.height, .left = span.left - middle, .right = span.right - middle});
    floor += section.height;
  }
  return all;
}

Outline up_to(const Outline& outline, Metres height) {
  Outline cut = outline;
  std::erase_if(cut.spans, [&](const OutlineSpan& span) { return span.height > height; });
  if (!outline.goes_on) height = std::min(height, outline.spans.back().height);
  OutlineSpan last = span_at(outline, height);
  last.height = height;
  if (cut.spans.empty() || cut.spans.back().height < height) cut.spans.push_back(last);
  cut.goes_on = false;
  return cut;
}

OutlineSpan span_at(const Outline& outline, Metres height) {
  const auto above =
      std::ranges::find_if(outline.spans, [&](const auto& one) { return one.height >= height; });
  if (above == outline.spans.begin()) return outline.spans.front();
  if (above == outline.spans.end()) return outline.spans.back();
  const OutlineSpan& low = *(above - 1);
  const double share = (height - low.height) / (above->height - low.height);
  return {.height = height,
          .left = low.left + share * (above->left - low.left),
          .right = low.right + share * (above->right - low.right)};
}

OutlineSpan extent_of(const Outline& outline) {
  OutlineSpan extent = outline.spans.front();
  for (const OutlineSpan& span : outline.spans)
    extent = {.height = std::max(extent.height, span.height),
              .left = std::min(extent.left, span.left),
              .right = std::max(extent.right, span.right)};
  return extent;
}

}  // namespace stillwell
