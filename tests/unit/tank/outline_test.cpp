// What is drawn of a tank is the tank: turned about its axis, or drawn out along its length, the outline
// holds what the shape holds.

#include "stillwell/tank/outline.hpp"

#include "stillwell/tank/shapes/horizontal_cylinder.hpp"
#include "stillwell/tank/shapes/oval.hpp"
#include "stillwell/tank/shapes/prism.hpp"
#include "stillwell/tank/shapes/taper.hpp"
#include "stillwell/tank/shapes/vertical_cylinder.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "support/catch.hpp"

using namespace stillwell;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

double width(const OutlineSpan& span) {
  return (span.right - span.left).value();
}

/// Between straight walls, exactly.
double litres_turned(const Outline& outline) {
  double sum = 0.0;
  for (std::size_t at = 1; at < outline.spans.size(); ++at) {
    const double a = width(outline.spans[at - 1]) / 2.0;
    const double b = width(outline.spans[at]) / 2.0;
    const double high = (outline.spans[at].height - outline.spans[at - 1].height).value();
    sum += std::numbers::pi / 3.0 * high * (a * a + a * b + b * b);
  }
  return 1000.0 * sum;
}

double square_metres(const Outline& outline) {
  double sum = 0.0;
  for (std::size_t at = 1; at < outline.spans.size(); ++at)
    sum += (width(outline.spans[at - 1]) + width(outline.spans[at])) / 2.0 *
           (outline.spans[at].height - outline.spans[at - 1].height).value();
  return sum;
}

bool ascends(const Outline& outline) {
  return std::ranges::is_sorted(outline.spans, {}, &OutlineSpan::height) &&
         outline.spans.front().height == Metres{0.0};
}

ShapePtr well(const Result<ShapePtr>& shape) {
  REQUIRE(shape);
  return *shape;
}

}  // namespace

TEST_CASE("outline: turned about its axis an upright round one holds what its shape holds",
          "[tank][outline]") {
  const Metres diameter{2.0};
  std::vector<std::pair<ShapePtr, Metres>> vessels{
      {well(cone(diameter, Metres{1.5})), Metres{1.5}},
      {well(frustum({.bottom = Metres{1.2}, .top = diameter, .height = Metres{2.5}})), Metres{2.5}},
      {well(sphere(diameter)), diameter}};
  for (const Head& head :
       {Head{Flat{}}, Head{Hemispherical{}}, Head{Ellipsoidal{}}, Head{Conical{Metres{0.8}}},
        Head{Dished{Metres{0.3}}}, Head{Torispherical{.crown = 1.0, .knuckle = 0.1}}}) {
    const auto size = size_of(head, diameter);
    REQUIRE(size);
    vessels.emplace_back(well(vertical_cylinder(diameter, head)), size->depth);
  }
  for (const auto& [shape, bent] : vessels) {
    const Outline outline = round_outline(*shape, bent);
    REQUIRE(ascends(outline));
    CHECK(outline.goes_on == !shape->height());
    if (shape->height()) CHECK(outline.spans.back().height == *shape->height());
    const double highest = shape->height().value_or(Metres{3.0}).value();
    for (const double share : {0.07, 0.2, 0.5, 0.8, 1.0}) {
      const Metres level{highest * share};
      INFO(shape->volume(Metres{9.0}).value() << " L, to " << level.value() << " m");
      CHECK_THAT(litres_turned(up_to(outline, level)), WithinRel(shape->volume(level).value(), 2e-3));
    }
  }
}

TEST_CASE("outline: the cross-section of a lying vessel, along its length, holds what its shape holds",
          "[tank][outline]") {
  for (const auto& [wide, high] : {std::pair{2.4, 1.6}, std::pair{1.6, 2.4}, std::pair{2.0, 2.0}}) {
    const LyingVessel vessel{.width = Metres{wide}, .height = Metres{high}, .length = Metres{4.0}};
    for (const ShapePtr& shape : {well(horizontal_oval(vessel)), well(horizontal_obround(vessel))}) {
      const Outline outline = end_outline(*shape, vessel.length);
      REQUIRE(ascends(outline));
      const OutlineSpan extent = extent_of(outline);
      CHECK_THAT(width(extent), WithinAbs(wide, 1e-3));
      CHECK_THAT(extent.height.value(), WithinAbs(high, 1e-12));
      for (const double share : {0.1, 0.5, 0.9, 1.0}) {
        const Metres level = vessel.height * share;
        CHECK_THAT(square_metres(up_to(outline, level)) * 4000.0,
                   WithinRel(shape->volume(level).value(), 2e-3));
      }
    }
  }
}

TEST_CASE("outline: a lying cylinder is as long as its shell and its heads", "[tank][outline]") {
  const Outline plain = lying_outline({.diameter = Metres{2.0}, .length = Metres{4.0}});
  CHECK_THAT(square_metres(plain), WithinAbs(8.0, 1e-9));
  CHECK(plain.gauge == Metres{2.0});  // nobody said where: over the middle

  const HorizontalCylinder round{
      .diameter = Metres{2.0}, .length = Metres{4.0}, .near = Hemispherical{}, .far = Flat{}};
  const Outline outline = lying_outline(round);
  REQUIRE(ascends(outline));
  CHECK_THAT(extent_of(outline).height.value(), WithinAbs(2.0, 1e-9));
  for (const double level : {0.1, 0.6, 1.0, 1.7}) {
    const OutlineSpan span = span_at(outline, Metres{level});
    CHECK_THAT(span.left.value(), WithinAbs(-std::sqrt(1.0 - (level - 1.0) * (level - 1.0)), 2e-3));
    CHECK_THAT(span.right.value(), WithinAbs(4.0, 1e-9));
  }
}

TEST_CASE("outline: a tilted cylinder is as high as its shape, and its floor under the gauge is where it is",
          "[tank][outline]") {
  for (const Head& head :
       {Head{Flat{}}, Head{Ellipsoidal{}}, Head{Dished{Metres{0.3}}}, Head{Conical{Metres{0.6}}}}) {
    const HorizontalCylinder tilted{.diameter = Metres{1.9},
                                    .length = Metres{4.2},
                                    .near = head,
                                    .far = head,
                                    .tilt = Metres{0.2},
                                    .gauge_at = Metres{1.5}};
    const ShapePtr shape = well(horizontal_cylinder(tilted));
    const Outline outline = lying_outline(tilted);
    REQUIRE(ascends(outline));
    CHECK_THAT(outline.spans.back().height.value(), WithinAbs(shape->height()->value(), 2e-3));
    const Metres floor = floor_under_gauge(tilted);
    CHECK(span_at(outline, floor + Metres{2e-3}).right > outline.gauge);
    CHECK(span_at(outline, floor - Metres{2e-3}).right < outline.gauge);
  }
}

TEST_CASE("outline: a stack is its sections, each about its middle", "[tank][outline]") {
  const ShapePtr point = well(cone(Metres{2.0}, Metres{0.8}));
  const Outline lying =
      lying_outline({.diameter = Metres{1.0}, .length = Metres{3.0}, .near = Hemispherical{}});
  const Outline all = stacked_outline({{round_outline(*point, Metres{0.8}), Metres{0.8}},
                                       {box_outline(Metres{1.2}), Metres{2.0}},
                                       {lying, Metres{0.5}}});
  REQUIRE(ascends(all));
  CHECK_FALSE(all.goes_on);
  CHECK_THAT(all.spans.back().height.value(), WithinAbs(3.3, 1e-12));
  CHECK_THAT(width(span_at(all, Metres{0.4})), WithinAbs(1.0, 1e-9));
  CHECK_THAT(width(span_at(all, Metres{1.8})), WithinAbs(1.2, 1e-12));
  CHECK_THAT(width(span_at(all, Metres{3.3})), WithinAbs(3.5, 1e-9));
  CHECK_THAT(span_at(all, Metres{3.3}).left.value(), WithinAbs(-1.75, 1e-9));
}

TEST_CASE("outline: it is cut where the paper ends, and continued only where its walls go on",
          "[tank][outline]") {
  const Outline box = box_outline(Metres{3.0});
  CHECK(up_to(box, Metres{2.0}).spans.back().height == Metres{2.0});
  CHECK_FALSE(up_to(box, Metres{2.0}).goes_on);
  const Outline leaning = leaning_outline(Metres{1.0}, Metres{2.0}, Metres{1.0});
  CHECK(up_to(leaning, Metres{5.0}).spans.back().height == Metres{1.0});
  CHECK_THAT(width(up_to(leaning, Metres{0.5}).spans.back()), WithinAbs(1.5, 1e-12));
}

TEST_CASE("outline: of a tank whose walls nobody knows it holds as much", "[tank][outline]") {
  const Outline even = even_outline(Litres{1500.0}, Metres{1.3});
  CHECK(even.view == Elevation::even);
  CHECK_THAT(litres_turned(up_to(even, Metres{1.3})), WithinRel(1500.0, 1e-9));
}
