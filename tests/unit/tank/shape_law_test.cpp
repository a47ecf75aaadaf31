// What holds for every shape, tried on many of random dimensions: contents never fall as the depth rises, the
// way back finds the depth, the surface is the slope of the contents, and beyond both ends nothing changes.

#include "stillwell/tank/deadwood.hpp"
#include "stillwell/tank/shapes/horizontal_cylinder.hpp"
#include "stillwell/tank/shapes/oval.hpp"
#include "stillwell/tank/shapes/prism.hpp"
#include "stillwell/tank/shapes/stack.hpp"
#include "stillwell/tank/shapes/taper.hpp"
#include "stillwell/tank/shapes/vertical_cylinder.hpp"
#include "stillwell/tank/strapping.hpp"

#include <vector>

#include "support/bench_seed.hpp"
#include "support/shape_bench.hpp"

using namespace stillwell;
using support::cubic_metres;
using support::made;

namespace {

using support::Dice;

Metres size(Dice& dice) {
  return Metres{std::exp(dice.between(std::log(0.05), std::log(20.0)))};
}

Head any_head(Dice& dice, Metres diameter) {
  switch (dice.roll(6)) {
    case 0: return Flat{};
    case 1: return Hemispherical{};
    case 2: return Ellipsoidal{diameter * dice.between(0.01, 1.0)};
    case 3: return Conical{diameter * dice.between(0.01, 4.0)};
    case 4: return Dished{diameter * dice.between(0.001, 0.5)};
    default: {
      const double crown = dice.between(0.5, 5.0);
      return Torispherical{.crown = crown, .knuckle = dice.between(0.001, 0.5)};
    }
  }
}

/// A shape, the depth up to which it is looked at, and its kind for messages.
struct Subject {
  ShapePtr shape;
  double height;
  std::string kind;
};

Subject closed(const Result<ShapePtr>& shape, const std::string& kind) {
  return {made(shape), made(shape)->height()->value(), kind};
}

Subject any_lying(Dice& dice) {
  const Metres diameter = size(dice);
  const Metres length = size(dice);
  const HorizontalCylinder of{.diameter = diameter,
                              .length = length,
                              .near = any_head(dice, diameter),
                              .far = any_head(dice, diameter),
                              .tilt = dice.one_in(2) ? length * dice.between(0.0, 0.1) : Metres{0.0}};
  return closed(horizontal_cylinder(of), "lying with heads " + std::to_string(of.near.index()) + " and " +
                                             std::to_string(of.far.index()) + ", " + to_text(diameter) +
                                             " by " + to_text(length) + ", tilt " + to_text(of.tilt));
}

Subject any_strapping(Dice& dice) {
  std::vector<StrapPoint> points{{Metres{dice.between(0.0, 0.5)}, Litres{dice.between(0.0, 50.0)}}};
  for (int i = dice.roll(30) + 1; i > 0; --i)
    points.push_back(
        {points.back().depth + size(dice), points.back().volume + Litres{dice.between(0.1, 5000.0)}});
  return closed(strapping(points), "strapping of " + std::to_string(points.size()));
}

Subject any_closed(Dice& dice) {
  const auto vessel = [&dice] {
    return LyingVessel{.width = size(dice), .height = size(dice), .length = size(dice)};
  };
  const auto rectangle = [&dice] { return Rectangle{.length = size(dice), .width = size(dice)}; };
  switch (dice.roll(8)) {
    case 0: return closed(horizontal_oval(vessel()), "oval");
    case 1: return closed(horizontal_obround(vessel()), "obround");
    case 2: return closed(cone(size(dice), size(dice)), "cone");
    case 3:
      return closed(frustum({.bottom = size(dice), .top = size(dice), .height = size(dice)}), "frustum");
    case 4: return closed(sphere(size(dice)), "sphere");
    case 5:
      return closed(rectangular_frustum({.bottom = rectangle(), .top = rectangle(), .height = size(dice)}),
                    "rectangular frustum");
    default: return any_lying(dice);
  }
}

Subject any_stack(Dice& dice) {
  std::vector<StackSection> sections;
  std::string kinds = "stack of";
  for (int i = dice.roll(4) + 1; i > 0; --i) {
    const Subject section = any_closed(dice);
    sections.push_back({section.shape, Metres{section.height * dice.between(0.2, 1.0)}});
    kinds += " / " + section.kind;
  }
  return closed(stack(sections), kinds);
}

Subject any_upright(Dice& dice) {
  const Metres diameter = size(dice);
  const Head bottom = any_head(dice, diameter);
  return {made(vertical_cylinder(diameter, bottom)), 5.0 * diameter.value(),
          "upright on head " + std::to_string(bottom.index())};
}

Subject any_shape(Dice& dice) {
  switch (dice.roll(5)) {
    case 0: return any_upright(dice);
    case 1: return any_stack(dice);
    case 2: return any_strapping(dice);
    default: return any_closed(dice);
  }
}

/// Depths all over, and ever denser towards both ends.
std::vector<double> depths_of(double height) {
  std::vector<double> depths;
  for (int i = 0; i <= 200; ++i)
    depths.push_back(height * i / 200.0);
  for (int third = 0; third < 14; ++third) {
    const double near = height / 400.0 / std::pow(3.0, third);  // down to 1e-9 of the height
    depths.push_back(near);
    depths.push_back(height - near);
  }
  std::ranges::sort(depths);
  return depths;
}

template <class Law>
void for_many_shapes(std::uint64_t usual_seed, const Law& law) {
  const auto seed = support::seed_or(usual_seed);
  Dice dice{seed};
  for (int round = 0; round < 300; ++round) {
    const Subject subject = any_shape(dice);
    INFO("STILLWELL_SEED=" << seed << ", round " << round << ": " << subject.kind << ", height "
                           << subject.height);
    law(subject);
  }
}

}  // namespace

TEST_CASE("shapes: contents never fall as the depth rises", "[tank][property]") {
  for_many_shapes(31, [](const Subject& of) {
    const double rounding = support::rounding_of(cubic_metres(*of.shape, of.height));
    double before = 0.0;
    bool falls = false;
    for (const double depth : depths_of(of.height)) {
      const double now = cubic_metres(*of.shape, depth);
      falls = falls || !(now >= 0.0) || !(now >= before - rounding);
      before = now;
    }
    CHECK_FALSE(falls);
  });
}

TEST_CASE("shapes: the way back from the contents finds the depth", "[tank][property]") {
  for_many_shapes(32, [](const Subject& of) {
    double lost = -1.0;
    const double start = of.shape->depth(of.shape->volume(Metres{0.0})).value();  // a strapping's first point
    for (const double depth : depths_of(of.height)) {
      if (depth >= start && !support::finds_again(*of.shape, depth, of.height)) lost = depth;
    }
    CHECK(lost == -1.0);
  });
}

TEST_CASE("shapes: the surface is how fast the contents grow", "[tank][property]") {
  for_many_shapes(33, [](const Subject& of) {
    // The mean of the surface over a thin layer, by Simpson's rule, is the layer's volume over its thickness.
    // Layers in which the wall steps are told by their surfaces and left out; a mere kink shows in their
    // differences and is allowed a share of them.
    const double layer = of.height * 1e-4;
    const double mean_surface = cubic_metres(*of.shape, of.height) / of.height;
    int compared = 0;
    for (int i = 1; i < 50; ++i) {
      const double depth = of.height * i / 50.0;
      const double low = of.shape->surface(Metres{depth - layer}).value();
      const double high = of.shape->surface(Metres{depth + layer}).value();
      if (std::abs(high - low) > 0.01 * mean_surface) continue;
      ++compared;
      const double middle = of.shape->surface(Metres{depth}).value();
      const double grown =
          (cubic_metres(*of.shape, depth + layer) - cubic_metres(*of.shape, depth - layer)) / (2.0 * layer);
      const double kink = std::abs(high - 2.0 * middle + low) + 0.1 * std::abs(high - low);
      CHECK(std::abs((low + 4.0 * middle + high) / 6.0 - grown) <= 1e-7 * mean_surface + kink);
    }
    CHECK(compared > 0);
  });
}

TEST_CASE("shapes: below the floor is nothing, above the top is no more", "[tank][property]") {
  for_many_shapes(34, [](const Subject& of) {
    const Shape& shape = *of.shape;
    CHECK(shape.volume(Metres{-1.0}) == shape.volume(Metres{0.0}));
    CHECK(shape.surface(Metres{-1.0}).value() >= 0.0);
    CHECK(std::isnan(shape.volume(Metres{std::nan("")}).value()));
    CHECK(std::isnan(shape.depth(Litres{std::nan("")}).value()));
    if (!shape.height()) return;
    const Metres top = *shape.height();
    CHECK(shape.volume(top * 2.0) == shape.volume(top));
    CHECK(shape.surface(top * 2.0) == SquareMetres{0.0});
    CHECK(shape.depth(shape.volume(top) * 2.0) <= top);
  });
}

TEST_CASE("shapes: a flat bottom has no formula of its own", "[tank][shapes]") {
  const ShapePtr flat = made(vertical_cylinder(Metres{2.0}, Flat{}));
  CHECK(flat->volume(Metres{1.5}) == vertical_cylinder(Metres{2.0})->volume(Metres{1.5}));
  CHECK_FALSE(flat->height().has_value());
}

TEST_CASE("shapes: a surface that jumps is the one from below", "[tank][shapes]") {
  const ShapePtr wide = rectangular(Metres{2.0}, Metres{2.0});
  const ShapePtr narrow = rectangular(Metres{1.0}, Metres{1.0});
  const ShapePtr both = made(stack({{wide, Metres{1.0}}, {narrow, Metres{0.5}}}));
  CHECK(both->surface(Metres{0.0}) == SquareMetres{4.0});
  CHECK(both->surface(Metres{1.0}) == SquareMetres{4.0});
  CHECK(both->surface(Metres{1.01}) == SquareMetres{1.0});
  CHECK(both->surface(Metres{1.5}) == SquareMetres{1.0});
  CHECK(both->volume(Metres{1.5}).value() == Approx(4500.0));
  CHECK(both->depth(Litres{4250.0}).value() == Approx(1.25));
  CHECK(both->height() == Metres{1.5});
}

TEST_CASE("shapes: a stack of a vessel's own parts is the vessel", "[tank][shapes]") {
  const ShapePtr whole = made(vertical_cylinder(Metres{2.0}, Conical{Metres{0.8}}));
  const ShapePtr parts = made(stack(
      {{made(cone(Metres{2.0}, Metres{0.8})), Metres{0.8}}, {vertical_cylinder(Metres{2.0}), Metres{3.0}}}));
  for (int i = 0; i <= 38; ++i) {
    const Metres depth{0.1 * i};
    CHECK(parts->volume(depth).value() == Approx(whole->volume(depth).value()).epsilon(1e-14));
  }
}
