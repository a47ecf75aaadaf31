// Vessels that cannot be are refused, each with a sentence that names the dimension and the way out.

#include "stillwell/tank/deadwood.hpp"
#include "stillwell/tank/shapes/horizontal_cylinder.hpp"
#include "stillwell/tank/shapes/oval.hpp"
#include "stillwell/tank/shapes/prism.hpp"
#include "stillwell/tank/shapes/stack.hpp"
#include "stillwell/tank/shapes/taper.hpp"
#include "stillwell/tank/shapes/vertical_cylinder.hpp"

#include <limits>

#include "support/shape_bench.hpp"

using namespace stillwell;

namespace {

/// Refused, and all of these words in the reason.
void refused(const Result<ShapePtr>& result, const std::vector<std::string>& words) {
  REQUIRE_FALSE(result.ok());
  for (const std::string& word : words) {
    INFO(result.error() << " | " << word);
    CHECK(result.error().find(word) != std::string::npos);
  }
}

Result<ShapePtr> with_bottom(const Head& head) {
  return vertical_cylinder(Metres{2.0}, head);
}

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kEndless = std::numeric_limits<double>::infinity();

}  // namespace

TEST_CASE("dimensions: zero, negative, endless or no number is refused by name", "[tank][dimensions]") {
  for (const double bad : {0.0, -1.0, kNone, kEndless, -kEndless}) {
    const Metres no{bad};
    refused(sphere(no), {"diameter", "more than 0"});
    refused(cone(no, Metres{1.0}), {"diameter"});
    refused(cone(Metres{1.0}, no), {"height"});
    refused(frustum({.bottom = Metres{1.0}, .top = Metres{1.0}, .height = no}), {"height"});
    refused(horizontal_oval({.width = no, .height = Metres{1.0}, .length = Metres{1.0}}), {"width"});
    refused(horizontal_obround({.width = Metres{1.0}, .height = no, .length = Metres{1.0}}), {"height"});
    refused(horizontal_cylinder({.diameter = Metres{1.0}, .length = no}), {"length"});
    refused(horizontal_cylinder({.diameter = no, .length = Metres{1.0}}), {"diameter"});
    refused(vertical_cylinder(no, Hemispherical{}), {"diameter"});
    refused(with_bottom(Conical{no}), {"bottom: depth", "or flat"});
    refused(with_bottom(Dished{no}), {"bottom: depth"});
    refused(with_bottom(Ellipsoidal{no}), {"bottom: depth"});
    refused(stack({{rectangular(Metres{1.0}, Metres{1.0}), no}}), {"section 1", "height"});
    CHECK_FALSE(size_of(Flat{}, no).ok());
  }
}

TEST_CASE("dimensions: a frustum may end in a point, not at both ends", "[tank][dimensions]") {
  CHECK(frustum({.bottom = Metres{0.0}, .top = Metres{1.0}, .height = Metres{1.0}}).ok());
  CHECK(frustum({.bottom = Metres{1.0}, .top = Metres{0.0}, .height = Metres{1.0}}).ok());
  refused(frustum({.bottom = Metres{0.0}, .top = Metres{0.0}, .height = Metres{1.0}}), {"bottom and top"});
  refused(frustum({.bottom = Metres{-1.0}, .top = Metres{1.0}, .height = Metres{1.0}}), {"bottom"});
}

TEST_CASE("dimensions: a rectangular frustum names the side", "[tank][dimensions]") {
  const Rectangle good{Metres{1.0}, Metres{1.0}};
  refused(rectangular_frustum({.bottom = {Metres{0.0}, Metres{1.0}}, .top = good, .height = Metres{1.0}}),
          {"bottom length"});
  refused(rectangular_frustum({.bottom = good, .top = {Metres{1.0}, Metres{0.0}}, .height = Metres{1.0}}),
          {"top width"});
}

TEST_CASE("dimensions: heads deeper than their kind can be", "[tank][dimensions]") {
  CHECK(with_bottom(Dished{Metres{1.0}}).ok());
  refused(with_bottom(Dished{Metres{1.001}}), {"depth is 1.001 m", "hemisphere"});
  CHECK(with_bottom(Ellipsoidal{Metres{2.0}}).ok());
  refused(with_bottom(Ellipsoidal{Metres{2.001}}), {"depth", "at most a diameter"});
  CHECK(with_bottom(Conical{Metres{8.0}}).ok());
  refused(with_bottom(Conical{Metres{8.001}}), {"depth", "stack"});
}

TEST_CASE("dimensions: torispherical radii are fractions, the knuckle the smaller", "[tank][dimensions]") {
  CHECK(with_bottom(Torispherical{.crown = 0.5, .knuckle = 0.1}).ok());
  CHECK(with_bottom(Torispherical{.crown = 0.6, .knuckle = 0.5}).ok());
  refused(with_bottom(Torispherical{.crown = 0.49, .knuckle = 0.1}),
          {"crown is 0.49", "fraction of the diameter"});
  refused(with_bottom(Torispherical{.crown = 80.0, .knuckle = 0.1}), {"crown is 80"});
  refused(with_bottom(Torispherical{.crown = 1.0, .knuckle = 0.0}), {"knuckle is 0"});
  refused(with_bottom(Torispherical{.crown = 1.0, .knuckle = 0.51}), {"knuckle is 0.51"});
  refused(with_bottom(Torispherical{.crown = kNone, .knuckle = 0.1}), {"crown"});
  refused(with_bottom(Torispherical{.crown = 1.0, .knuckle = kNone}), {"knuckle"});
}

TEST_CASE("dimensions: a torispherical head of half a diameter's crown is a hemisphere",
          "[tank][dimensions]") {
  const auto round = size_of(Torispherical{.crown = 0.5, .knuckle = 0.3}, Metres{2.0});
  REQUIRE(round.ok());
  CHECK(round->depth == Metres{1.0});
  const auto all_knuckle = size_of(Torispherical{.crown = 0.8, .knuckle = 0.5}, Metres{2.0});
  REQUIRE(all_knuckle.ok());
  CHECK(all_knuckle->depth.value() == Approx(1.0).epsilon(1e-12));
  CHECK(all_knuckle->volume.value() == Approx(round->volume.value()).epsilon(1e-12));
}

TEST_CASE("dimensions: heads of a lying vessel are told apart", "[tank][dimensions]") {
  HorizontalCylinder of{.diameter = Metres{2.0}, .length = Metres{4.0}};
  of.near = Dished{Metres{2.0}};
  refused(horizontal_cylinder(of), {"near head: depth"});
  of.near = Flat{};
  of.far = Torispherical{.crown = 1.0, .knuckle = 0.9};
  refused(horizontal_cylinder(of), {"far head: knuckle"});
}

TEST_CASE("dimensions: a tilt is a small rise, the gauge on the shell", "[tank][dimensions]") {
  HorizontalCylinder of{.diameter = Metres{2.0}, .length = Metres{4.0}, .tilt = Metres{0.4}};
  CHECK(horizontal_cylinder(of).ok());
  of.tilt = Metres{0.401};
  refused(horizontal_cylinder(of), {"tilt is 0.401 m", "tenth of the length"});
  of.tilt = Metres{-0.02};
  refused(horizontal_cylinder(of), {"tilt", "0 m or more"});
  of.tilt = Metres{0.02};
  of.gauge_at = Metres{4.0};
  CHECK(horizontal_cylinder(of).ok());
  of.gauge_at = Metres{4.1};
  refused(horizontal_cylinder(of), {"gauge_at is 4.1 m", "beyond the shell's length"});
}

TEST_CASE("dimensions: a stack's sections are counted from the bottom", "[tank][dimensions]") {
  const ShapePtr ball = *sphere(Metres{1.0});
  const ShapePtr box = rectangular(Metres{1.0}, Metres{1.0});
  refused(stack({}), {"sections is empty"});
  refused(stack({{box, Metres{1.0}}, {ball, Metres{1.1}}}), {"section 2 from the bottom", "ends at 1 m"});
  CHECK(stack(std::vector<StackSection>(32, {box, Metres{1.0}})).ok());
  refused(stack(std::vector<StackSection>(33, {box, Metres{1.0}})), {"32"});
}
