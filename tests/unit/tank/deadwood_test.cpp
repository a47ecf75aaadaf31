// Fittings take the place of water, evenly between two depths, and never more of it than there is.

#include "stillwell/tank/deadwood.hpp"

#include "stillwell/tank/shapes/horizontal_cylinder.hpp"
#include "stillwell/tank/shapes/prism.hpp"
#include "stillwell/tank/shapes/stack.hpp"

#include <limits>

#include "support/shape_bench.hpp"

using namespace stillwell;
using support::made;

namespace {

const ShapePtr kBox = rectangular(Metres{2.0}, Metres{1.0});

ShapePtr lying() {
  return made(horizontal_cylinder({.diameter = Metres{2.0}, .length = Metres{4.0}}));
}

Deadwood fitting(double from, double to, double litres) {
  return {.from = Metres{from}, .to = Metres{to}, .volume = Litres{litres}};
}

void refused(const Result<ShapePtr>& result, const std::string& words) {
  REQUIRE_FALSE(result.ok());
  INFO(result.error());
  CHECK(result.error().find(words) != std::string::npos);
}

}  // namespace

TEST_CASE("deadwood: is subtracted evenly between its depths", "[tank][deadwood]") {
  const ShapePtr tank = made(without_deadwood(kBox, {fitting(0.5, 1.5, 100.0)}));
  CHECK(tank->volume(Metres{0.5}).value() == Approx(1000.0));
  CHECK(tank->volume(Metres{1.0}).value() == Approx(1950.0));
  CHECK(tank->volume(Metres{1.5}).value() == Approx(2900.0));
  CHECK(tank->volume(Metres{2.0}).value() == Approx(3900.0));
  CHECK(tank->surface(Metres{0.5}).value() == Approx(2.0));
  CHECK(tank->surface(Metres{1.0}).value() == Approx(1.9));
  CHECK(tank->surface(Metres{1.5}).value() == Approx(1.9));
  CHECK(tank->surface(Metres{1.6}).value() == Approx(2.0));
  CHECK_FALSE(tank->height().has_value());
}

TEST_CASE("deadwood: several pieces add up where they overlap", "[tank][deadwood]") {
  const ShapePtr tank = made(without_deadwood(kBox, {fitting(0.0, 1.0, 100.0), fitting(0.5, 1.5, 60.0)}));
  CHECK(tank->volume(Metres{1.0}).value() == Approx(2000.0 - 100.0 - 30.0));
  CHECK(tank->surface(Metres{0.0}).value() == Approx(1.9));
  CHECK(tank->surface(Metres{0.8}).value() == Approx(2.0 - 0.1 - 0.06));
}

TEST_CASE("deadwood: the way back finds the depth again", "[tank][deadwood]") {
  const ShapePtr tank = made(without_deadwood(lying(), {fitting(0.1, 1.9, 300.0), fitting(0.9, 1.0, 50.0)}));
  for (int i = 0; i <= 400; ++i) {
    INFO("depth " << 0.005 * i);
    CHECK(support::finds_again(*tank, 0.005 * i, 2.0));
  }
  CHECK(tank->height() == Metres{2.0});
  CHECK(std::isnan(tank->depth(Litres{std::numeric_limits<double>::quiet_NaN()}).value()));
}

TEST_CASE("deadwood: none leaves the shape as it is", "[tank][deadwood]") {
  const ShapePtr tank = made(without_deadwood(lying(), {}));
  CHECK(tank->volume(Metres{0.7}) == lying()->volume(Metres{0.7}));
}

TEST_CASE("deadwood: an impossible piece is refused with its numbers", "[tank][deadwood]") {
  const double none = std::numeric_limits<double>::quiet_NaN();
  refused(without_deadwood(kBox, {fitting(0.0, 1.0, 0.0)}), "0 L from 0 m to 1 m: give how much water");
  refused(without_deadwood(kBox, {fitting(0.0, 1.0, -5.0)}), "-5 L");
  refused(without_deadwood(kBox, {fitting(0.0, 1.0, none)}), "give how much water");
  refused(without_deadwood(kBox, {fitting(1.0, 1.0, 5.0)}), "lower end first");
  refused(without_deadwood(kBox, {fitting(-0.1, 1.0, 5.0)}), "lower end first");
  refused(without_deadwood(kBox, {fitting(none, 1.0, 5.0)}), "lower end first");
  refused(without_deadwood(lying(), {fitting(1.0, 2.1, 5.0)}), "above the shape's own top at 2 m");
}

TEST_CASE("deadwood: more than there is room for is refused, alone or together", "[tank][deadwood]") {
  refused(without_deadwood(kBox, {fitting(0.0, 1.0, 2001.0)}), "wider than the tank");
  CHECK(without_deadwood(kBox, {fitting(0.0, 1.0, 1999.0)}).ok());
  refused(without_deadwood(kBox, {fitting(0.0, 1.0, 1500.0), fitting(0.4, 0.6, 150.0)}),
          "all deadwood together");
  // Near the crown of a lying tank there is hardly any room left.
  CHECK(without_deadwood(lying(), {fitting(1.8, 1.9, 20.0)}).ok());
  refused(without_deadwood(lying(), {fitting(1.9999, 2.0, 20.0)}), "wider than the tank");
  // A narrow neck in the middle of a wide stack.
  const ShapePtr neck = made(stack(
      {{kBox, Metres{1.0}}, {rectangular(Metres{0.1}, Metres{0.1}), Metres{0.1}}, {kBox, Metres{1.0}}}));
  refused(without_deadwood(neck, {fitting(0.5, 1.5, 50.0)}), "wider than the tank");
}
