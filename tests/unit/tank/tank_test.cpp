// What a level means: litres, percent of the span, what can be used, what room is left; and the way back from
// a set point. The shape's own laws (inverse, monotone) hold for every prism.

#include "stillwell/tank/tank.hpp"

#include "stillwell/tank/shapes/prism.hpp"

#include <vector>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;

namespace {

/// A shape that is not even, so that percent by level and percent by volume differ: contents grow with the
/// square of the depth, 1000 L at 1 m.
class Wedge final : public Shape {
 public:
  [[nodiscard]] Litres volume(Metres depth) const override {
    return depth > Metres{0} ? Litres{1000.0 * depth.value() * depth.value()} : Litres{0};
  }
  [[nodiscard]] Metres depth(Litres volume) const override {
    return Metres{std::sqrt(volume.value() / 1000.0)};
  }
  [[nodiscard]] SquareMetres surface(Metres depth) const override {
    return SquareMetres{2.0 * depth.value()};
  }
};

Tank tank_of(ShapePtr shape, Metres full, Metres unusable = Metres{0}) {
  Tank tank;
  tank.full_line = full;
  tank.unusable = unusable;
  tank.shape = std::move(shape);
  return tank;
}

}  // namespace

TEST_CASE("prism: an even section holds its capacity at the full line", "[tank][shape]") {
  const auto shape = even_section(Litres{5000}, Metres{2.45});
  CHECK(shape->volume(Metres{2.45}).value() == Approx(5000).epsilon(1e-12));
  CHECK(shape->volume(Metres{1.225}).value() == Approx(2500).epsilon(1e-12));
  CHECK(shape->volume(Metres{0}).value() == 0.0);
}

TEST_CASE("prism: nothing stands below the floor", "[tank][shape]") {
  const auto shape = vertical_cylinder(Metres{2.4});
  CHECK(shape->volume(Metres{-0.1}).value() == 0.0);
  CHECK(shape->depth(Litres{-1}).value() == 0.0);
}

TEST_CASE("prism: contents never shrink with depth, and depth undoes them", "[tank][property]") {
  const auto seed = support::seed_or(20260304);
  INFO("seed " << seed);
  support::Dice dice{seed};
  for (int each = 0; each < 300; ++each) {
    const Metres full{dice.between(0.3, 12)};
    const std::vector<ShapePtr> shapes{
        vertical_cylinder(Metres{dice.between(0.3, 20)}),
        rectangular(Metres{dice.between(0.3, 30)}, Metres{dice.between(0.3, 30)}),
        even_section(Litres{dice.between(50, 1e6)}, full)};
    for (const ShapePtr& shape : shapes) {
      const Metres a{dice.between(-0.5, full.value())};
      const Metres b{dice.between(-0.5, full.value())};
      REQUIRE((shape->volume(std::min(a, b)) <= shape->volume(std::max(a, b))));
      REQUIRE(shape->volume(std::max(a, Metres{0})) >= Litres{0});
      const Metres wet = std::max(a, Metres{0});
      REQUIRE(std::abs((shape->depth(shape->volume(wet)) - wet).value()) <= 1e-9 * full.value());
    }
  }
}

TEST_CASE("tank: percent is of the span by level, or of the contents where the tank says so",
          "[tank][percent]") {
  Tank tank = tank_of(std::make_shared<Wedge>(), Metres{2.0});
  CHECK(percent_of(tank, Metres{1.0}).value() == Approx(50));
  CHECK(contents_at(tank, Metres{1.0}).percent.value() == Approx(50));
  tank.by_volume = true;
  CHECK(percent_of(tank, Metres{1.0}).value() == Approx(25));
  CHECK(contents_at(tank, Metres{1.0}).percent.value() == Approx(25));
  CHECK(percent_of(tank, Metres{2.0}).value() == Approx(100));
}

TEST_CASE("tank: usable water is what stands above the outlet", "[tank][contents]") {
  const Tank tank = tank_of(rectangular(Metres{2}, Metres{1}), Metres{2.0}, Metres{0.1});
  CHECK(contents_at(tank, Metres{1.0}).volume.value() == Approx(2000));
  CHECK(contents_at(tank, Metres{1.0}).usable.value() == Approx(1800));
  CHECK(contents_at(tank, Metres{0.1}).usable.value() == Approx(0).margin(1e-9));
  CHECK(contents_at(tank, Metres{0.05}).usable.value() == 0.0);
}

TEST_CASE("tank: ullage is the room below the full line, and never less than none", "[tank][contents]") {
  const Tank tank = tank_of(rectangular(Metres{2}, Metres{1}), Metres{2.0});
  CHECK(contents_at(tank, Metres{1.5}).ullage.value() == Approx(1000));
  CHECK(contents_at(tank, Metres{2.0}).ullage.value() == Approx(0).margin(1e-9));
  CHECK(contents_at(tank, Metres{2.05}).ullage.value() == 0.0);
  CHECK(contents_at(tank, Metres{-0.05}).volume.value() == 0.0);
}

TEST_CASE("tank: a set point means the same level however it is written", "[tank][set-points]") {
  Tank tank = tank_of(std::make_shared<Wedge>(), Metres{2.0});
  CHECK(level_of(tank, SetPoint{Metres{0.8}}).value() == Approx(0.8));
  CHECK(level_of(tank, SetPoint{Litres{640}}).value() == Approx(0.8));
  CHECK(level_of(tank, SetPoint{Percent{40}}).value() == Approx(0.8));
  tank.by_volume = true;
  CHECK(level_of(tank, SetPoint{Percent{16}}).value() == Approx(0.8));
  CHECK(level_of(tank, SetPoint{Percent{0}}).value() == 0.0);
  CHECK(level_of(tank, SetPoint{Percent{100}}).value() == Approx(2.0));
}

TEST_CASE("tank: percent of the level of a percentage is that percentage", "[tank][property]") {
  for (const bool by_volume : {false, true}) {
    Tank tank = tank_of(std::make_shared<Wedge>(), Metres{2.45});
    tank.by_volume = by_volume;
    for (int percent = 0; percent <= 100; ++percent) {
      const Metres level = level_of(tank, SetPoint{Percent{static_cast<double>(percent)}});
      CHECK(percent_of(tank, level).value() == Approx(percent).margin(1e-9));
    }
  }
}
