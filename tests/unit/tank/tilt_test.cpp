// Tilted vessels against slices of our own: thin discs across the axis, each a plain circle or its segment,
// summed up. Nothing of the shapes' own code is used for them.

#include "stillwell/tank/shapes/horizontal_cylinder.hpp"

#include <functional>
#include <numbers>

#include "support/bench_seed.hpp"
#include "support/shape_bench.hpp"

using namespace stillwell;
using support::cubic_metres;
using support::made;

namespace {

/// Radius of a head at x beyond the rim, and how far it reaches: each written down from its definition.
struct Outline {
  double depth = 0.0;
  std::function<double(double)> radius;
};

Outline outline_of(const Ellipsoidal& head, double r) {
  const double a = head.depth ? head.depth->value() : r / 2.0;
  return {a, [=](double x) { return r * std::sqrt(std::max(1.0 - x * x / a / a, 0.0)); }};
}
Outline outline_of(const Flat& /*head*/, double /*r*/) {
  return {0.0, [](double) { return 0.0; }};
}
Outline outline_of(const Hemispherical& /*head*/, double r) {
  return outline_of(Ellipsoidal{Metres{r}}, r);
}
Outline outline_of(const Conical& head, double r) {
  const double a = head.depth.value();
  return {a, [=](double x) { return r * (1.0 - x / a); }};
}
Outline outline_of(const Dished& head, double r) {
  const double a = head.depth.value();
  const double ball = (r * r + a * a) / (2.0 * a);
  return {a, [=](double x) { return std::sqrt(std::max(ball * ball - std::pow(x + ball - a, 2), 0.0)); }};
}
Outline outline_of(const Torispherical& head, double r) {
  const double f = 2.0 * r * head.crown;
  const double k = 2.0 * r * head.knuckle;
  const double alpha = std::asin((r - k) / (f - k));
  const double knuckle = k * std::cos(alpha);
  const double a = knuckle + f * (1.0 - std::cos(alpha));
  return {a, [=](double x) {
            if (x < knuckle) return r - k + std::sqrt(std::max(k * k - x * x, 0.0));
            return std::sqrt(std::max(f * f - std::pow(x + f - a, 2), 0.0));
          }};
}

/// Area of a circle below a chord at z over its centre.
double below(double radius, double z) {
  if (z <= -radius) return 0.0;
  if (z >= radius) return std::numbers::pi * radius * radius;
  return radius * radius * std::acos(-z / radius) + z * std::sqrt(radius * radius - z * z);
}

/// A vessel in the frame of its own axis: x along it from the near rim, z up square to it; the water's
/// surface is at `over(x)`.
struct Cut {
  HorizontalCylinder vessel;
  double sine;
  double cosine;
  Outline near;
  Outline far;

  explicit Cut(const HorizontalCylinder& of)
      : vessel{of}, sine{of.tilt / of.length}, cosine{std::cos(std::asin(sine))} {
    const double r = of.diameter.value() / 2.0;
    near = std::visit([r](const auto& head) { return outline_of(head, r); }, of.near);
    far = std::visit([r](const auto& head) { return outline_of(head, r); }, of.far);
  }
  [[nodiscard]] double radius(double x) const {
    const double length = vessel.length.value();
    if (x < 0.0) return near.radius(-x);
    return x > length ? far.radius(x - length) : vessel.diameter.value() / 2.0;
  }
  /// f summed over the midpoints of many slices of each of the three bodies.
  [[nodiscard]] double summed(const std::function<double(double)>& f) const {
    constexpr int kSlices = 40000;
    const double length = vessel.length.value();
    const double ends[] = {-near.depth, 0.0, length, length + far.depth};
    double sum = 0.0;
    for (int body = 0; body < 3; ++body) {
      const double width = (ends[body + 1] - ends[body]) / kSlices;
      for (int i = 0; width > 0.0 && i < kSlices; ++i)
        sum += width * f(ends[body] + width * (i + 0.5));
    }
    return sum;
  }
  /// The extreme height of the wall over the near end's axis, down (side −1) or up (+1): by trying.
  [[nodiscard]] double extreme(double side) const {
    double most = std::max(0.0, side * vessel.tilt.value()) + radius(0.0) * cosine;
    (void)summed([&](double x) {
      most = std::max(most, side * x * sine + radius(x) * cosine);
      return 0.0;
    });
    return side * most;
  }
  [[nodiscard]] double volume(double level) const {
    return summed([&](double x) { return below(radius(x), (level - x * sine) / cosine); });
  }
};

HorizontalCylinder vessel(const Head& near, const Head& far, double tilt) {
  return {.diameter = Metres{2.0}, .length = Metres{4.0}, .near = near, .far = far, .tilt = Metres{tilt}};
}

const std::vector<Head> kHeads{Flat{},
                               Hemispherical{},
                               Ellipsoidal{},
                               Conical{Metres{0.6}},
                               Dished{Metres{0.3}},
                               Torispherical{.crown = 1.0, .knuckle = 0.06},
                               Torispherical{.crown = 0.8, .knuckle = 0.154}};

/// The slices' own error, judged from the step: midpoints of chords and rims.
constexpr double kSliceError = 1e-9;

void compare(const HorizontalCylinder& of, int depths) {
  const Cut cut{of};
  const ShapePtr shape = made(horizontal_cylinder(of));
  const double lowest = cut.extreme(-1.0);
  const double height = cut.extreme(1.0) - lowest;
  INFO("tilt " << of.tilt.value() << ", heads " << of.near.index() << " and " << of.far.index());
  CHECK(shape->height()->value() == Approx(height).epsilon(1e-8));
  const double full = cut.volume(lowest + 2.0 * height);
  for (int i = 1; i <= depths; ++i) {
    const double depth = height * i / (depths + 0.5);
    INFO("depth " << depth);
    CHECK(std::abs(cubic_metres(*shape, depth) - cut.volume(lowest + depth)) <= kSliceError * full);
  }
}

}  // namespace

TEST_CASE("tilt: contents agree with slices, whatever the heads and the slope", "[tank][tilt]") {
  for (const Head& head : kHeads) {
    for (const double tilt : {0.005, 0.02, 0.3})
      compare(vessel(head, head, tilt), 5);
  }
}

TEST_CASE("tilt: two different heads, random vessels", "[tank][tilt][property]") {
  const auto seed = support::seed_or(20260301);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 12; ++round) {
    const double diameter = dice.between(0.5, 4.0);
    const double length = dice.between(0.2, 12.0);
    compare({.diameter = Metres{diameter},
             .length = Metres{length},
             .near = Conical{Metres{dice.between(0.05, 1.5) * diameter}},
             .far = Torispherical{.crown = dice.between(0.6, 1.5), .knuckle = dice.between(0.02, 0.3)},
             .tilt = Metres{length * dice.between(0.0001, 0.1)}},
            2);
    compare({.diameter = Metres{diameter},
             .length = Metres{length},
             .near = Dished{Metres{dice.between(0.02, 0.5) * diameter}},
             .far = Ellipsoidal{Metres{dice.between(0.05, 0.9) * diameter}},
             .tilt = Metres{length * dice.between(0.0001, 0.1)}},
            2);
  }
}

TEST_CASE("tilt: none at all is the level vessel, and a hair is nearly so", "[tank][tilt]") {
  for (const Head& head : kHeads) {
    const ShapePtr level = made(horizontal_cylinder(vessel(head, head, 0.0)));
    const ShapePtr hair = made(horizontal_cylinder(vessel(head, head, 1e-9)));
    const double full = cubic_metres(*level, 2.0);
    for (int i = 0; i <= 200; ++i) {
      const double depth = 0.01 * i;
      INFO("head " << head.index() << ", depth " << depth);
      // At the middle of the vessel the water of the tilted one stands half the rise lower.
      CHECK(std::abs(cubic_metres(*hair, depth + 0.5e-9) - cubic_metres(*level, depth)) <= 1e-9 * full);
    }
  }
}

TEST_CASE("tilt: seen from the other side the air is the water", "[tank][tilt]") {
  // Turned over end to end a vessel is itself with its heads swapped, and its air becomes the water.
  for (const Head& head : kHeads) {
    const ShapePtr one = made(horizontal_cylinder(vessel(head, Dished{Metres{0.4}}, 0.1)));
    const ShapePtr other = made(horizontal_cylinder(vessel(Dished{Metres{0.4}}, head, 0.1)));
    const double height = one->height()->value();
    const double full = cubic_metres(*one, height);
    CHECK(other->height()->value() == Approx(height).epsilon(1e-14));
    for (int i = 0; i <= 40; ++i) {
      const double depth = height * i / 40.0;
      INFO("head " << head.index() << ", depth " << depth);
      CHECK(std::abs(cubic_metres(*one, depth) + cubic_metres(*other, height - depth) - full) <=
            1e-12 * full);
    }
  }
}

TEST_CASE("tilt: a full vessel holds what it holds when level", "[tank][tilt]") {
  for (const Head& head : kHeads) {
    const ShapePtr level = made(horizontal_cylinder(vessel(head, head, 0.0)));
    for (const double tilt : {1e-6, 0.001, 0.02, 0.4}) {
      const ShapePtr tilted = made(horizontal_cylinder(vessel(head, head, tilt)));
      INFO("head " << head.index() << ", tilt " << tilt);
      CHECK(tilted->volume(*tilted->height()) / level->volume(*level->height()) ==
            Approx(1.0).epsilon(1e-12));
    }
  }
}

TEST_CASE("tilt: the floor under the gauge rises with its place along the shell", "[tank][tilt]") {
  HorizontalCylinder tank = vessel(Flat{}, Flat{}, 0.04);
  CHECK(floor_under_gauge(tank).value() == Approx(0.0).margin(1e-15));
  tank.gauge_at = Metres{2.0};
  CHECK(floor_under_gauge(tank).value() == Approx(0.02).epsilon(1e-12));
  tank.gauge_at = Metres{4.0};
  CHECK(floor_under_gauge(tank).value() == Approx(0.04).epsilon(1e-12));
  tank.tilt = Metres{0.0};
  CHECK(floor_under_gauge(tank) == Metres{0.0});

  // A round head reaches a little lower than the shell's own corner.
  tank = vessel(Hemispherical{}, Flat{}, 0.04);
  CHECK(floor_under_gauge(tank).value() == Approx(1.0 - std::cos(std::asin(0.01))).epsilon(1e-9));
}
