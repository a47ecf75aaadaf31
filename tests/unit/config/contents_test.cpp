// What a tank holds, from its configuration to litres.
#include "stillwell/config/configuration.hpp"

#include <cstdlib>
#include <numbers>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/process.hpp"

using namespace stillwell;
using namespace stillwell::config;
using std::numbers::pi;

namespace {

constexpr std::string_view kHolds = "shape: vertical-cylinder, diameter: 2.4 m";

Tank loaded(const std::string& text, const std::string& file = "site.yaml") {
  const Loaded result = parse(text, file);
  for (const Problem& problem : result.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(result.configuration);
  return result.configuration->model.tanks.at(0);
}

/// The header tank of the base, full at 2.45 m, with another inside.
Tank header(std::string_view holds) {
  return loaded(support::base_with(kHolds, holds));
}

double litres(const Tank& tank, double level) {
  return tank.shape->volume(Metres{level}).value();
}

}  // namespace

TEST_CASE("contents: every shape is made from its dimensions", "[config][contents]") {
  // Each at a depth where its contents are plain arithmetic.
  CHECK(litres(header("shape: vertical-cylinder, diameter: 2 m"), 1.0) == Approx(1000 * pi));
  CHECK(litres(header("shape: horizontal-cylinder, diameter: 2.6 m, length: 4 m"), 1.3) ==
        Approx(1000 * 4 * pi * 1.69 / 2));
  CHECK(litres(header("shape: horizontal-oval, width: 1.6 m, height: 3 m, length: 4 m"), 1.5) ==
        Approx(1000 * 4 * pi * 0.8 * 1.5 / 2));
  CHECK(litres(header("shape: horizontal-obround, width: 2 m, height: 3 m, length: 4 m"), 1.5) ==
        Approx(1000 * 4 * (pi / 2 + 1)));
  CHECK(litres(header("shape: rectangular, length: 2 m, width: 1.5 m"), 1.0) == Approx(3000));
  CHECK(litres(header("shape: rectangular-frustum, bottom: [1 m, 60 cm], top: [2 m, 2.6 m], height: 3 m"),
               3.0) == Approx(1000 * 3 / 6.0 * (0.6 + 4 * 1.5 * 1.6 + 5.2)));
  CHECK(litres(header("shape: cone, diameter: 3 m, height: 3 m"), 2.0) == Approx(1000 * pi * 2 / 3));
  CHECK(litres(header("shape: frustum, bottom: 1 m, top: 4 m, height: 3 m"), 3.0) ==
        Approx(1000 * pi / 12 * 3 * (1 + 4 + 16)));
  CHECK(litres(header("shape: sphere, diameter: 3 m"), 1.5) == Approx(1000 * pi * 27 / 12));
  CHECK(litres(header("shape: stack, sections: [{ shape: cone, diameter: 2 m, height: 1 m }, "
                      "{ shape: vertical-cylinder, diameter: 3 m, height: 2 m }]"),
               2.0) == Approx(1000 * pi * (1 / 3.0 + 2.25)));
}

TEST_CASE("contents: heads are written as a word, or with their measures", "[config][contents]") {
  const auto upright = [](const std::string& bottom) {
    return litres(header("shape: vertical-cylinder, diameter: 2 m, bottom: " + bottom), 2.4);
  };
  const auto shell = [](double depth) { return 1000 * pi * (2.4 - depth); };
  CHECK(upright("flat") == Approx(shell(0)));
  CHECK(upright("hemispherical") == Approx(shell(1) + 1000 * pi * 2 / 3));
  CHECK(upright("ellipsoidal") == Approx(shell(0.5) + 1000 * pi / 3));
  CHECK(upright("{ kind: ellipsoidal, depth: 0.6 m }") == Approx(shell(0.6) + 1000 * pi * 0.4));
  CHECK(upright("{ kind: conical, depth: 0.9 m }") == Approx(shell(0.9) + 1000 * pi * 0.3));
  CHECK(upright("{ kind: dished, depth: 30 cm }") == Approx(shell(0.3) + 1000 * pi * 0.3 * (3 + 0.09) / 6));
  // A crown of half the diameter is a hemisphere.
  CHECK(upright("{ kind: torispherical, crown: 0.5, knuckle: 0.1 }") == Approx(upright("hemispherical")));
  CHECK(upright("{ kind: torispherical, crown: 1, knuckle: 0.06 }") < upright("hemispherical") + 1000 * pi);
}

TEST_CASE("contents: heads of a lying tank are the same at both ends, or one each", "[config][contents]") {
  const auto lying = [](const std::string& heads) {
    return litres(header("shape: horizontal-cylinder, diameter: 2.6 m, length: 4 m, heads: " + heads), 2.6);
  };
  const double shell = 1000 * 4 * pi * 1.69;
  const double half_sphere = 1000 * pi * 2 / 3 * 1.3 * 1.3 * 1.3;
  CHECK(lying("flat") == Approx(shell));
  CHECK(lying("hemispherical") == Approx(shell + 2 * half_sphere));
  CHECK(lying("[hemispherical, flat]") == Approx(shell + half_sphere));
  CHECK(lying("[flat, { kind: ellipsoidal, depth: 65 cm }]") == Approx(shell + half_sphere / 2));
}

TEST_CASE("contents: levels of a tilted tank count from its lowest point, distances from the gauge",
          "[config][contents]") {
  const Tank tank =
      header("shape: horizontal-cylinder, diameter: 2.6 m, length: 4 m, tilt: 4 cm, gauge_at: 3 m");
  CHECK(tank.full().value() == Approx(2.45 + 0.03).margin(1e-4));
  CHECK(tank.gauges.front().mounting.to_floor.value() == Approx(2.85 + 0.03).margin(1e-4));
  CHECK(tank.gauges.front().mounting.to_full.value() == 0.40);
  const Tank near = header("shape: horizontal-cylinder, diameter: 2.6 m, length: 4 m, tilt: 4 cm");
  CHECK(near.full().value() == Approx(2.45).margin(1e-4));
  CHECK(litres(near, 1.0) == Approx(litres(tank, 1.0)));
}

TEST_CASE("contents: fittings take the place of water", "[config][contents]") {
  const Tank tank = header(
      "shape: rectangular, length: 2 m, width: 1 m, deadwood: [{ from: 0 m, to: 1 m, volume: 100 L }, "
      "{ from: 50 cm, to: 1.5 m, volume: 10 L }]");
  CHECK(litres(tank, 0.5) == Approx(1000 - 50));
  CHECK(litres(tank, 2.0) == Approx(4000 - 110));
}

TEST_CASE("contents: a strapping table stands in the configuration or beside it", "[config][contents]") {
  const Tank inline_table = header("strapping: [[0 cm, 0 L], [1 m, 2 m3], [3 m, 5000 L]]");
  CHECK(litres(inline_table, 1.0) == Approx(2000));
  CHECK(litres(inline_table, 3.0) == Approx(5000));

  const support::TemporaryDirectory directory;
  support::write_file(directory.file("header.csv"), "level_m,volume_l\n0,0\n1,2000\n3,5000\n");
  const auto from_file = [&](const std::string& name) {
    return loaded(support::base_with(kHolds, "strapping_file: " + name), directory.file("site.yaml"));
  };
  CHECK(litres(from_file("header.csv"), 1.7) == litres(inline_table, 1.7));
  CHECK(litres(from_file(directory.file("header.csv")), 1.7) == litres(inline_table, 1.7));
  REQUIRE(setenv("STILLWELL_TEST_TABLES", directory.path().c_str(), 1) == 0);
  CHECK(litres(from_file("'${STILLWELL_TEST_TABLES}/header.csv'"), 1.7) == litres(inline_table, 1.7));
}

TEST_CASE("contents: percent by volume is of the contents whatever the shape", "[config][contents]") {
  for (const std::string holds :
       {"shape: cone, diameter: 3 m, height: 3 m", "shape: sphere, diameter: 3 m",
        "shape: horizontal-cylinder, diameter: 2.6 m, length: 4 m, heads: hemispherical",
        "shape: horizontal-cylinder, diameter: 2.6 m, length: 4 m, heads: ellipsoidal, tilt: 10 cm",
        "shape: vertical-cylinder, diameter: 2 m, bottom: { kind: torispherical, crown: 1, knuckle: 0.1 }",
        "strapping: [[0 cm, 0 L], [1 m, 2 m3], [3 m, 5000 L]]"}) {
    INFO(holds);
    std::string text = support::base_with(kHolds, holds);
    text.replace(text.find("    alarms:\n      low:"), 11, "    by: volume\n    alarms:");
    const Loaded result = parse(text, "site.yaml");
    REQUIRE(result.configuration);
    const Model& model = result.configuration->model;
    const Tank& tank = model.tanks.at(0);
    REQUIRE(tank.by_volume);
    const Metres start = model.pumps.at(0).start_level;  // 45 %
    CHECK(tank.shape->volume(start) / tank.capacity() == Approx(0.45).epsilon(1e-9));
    CHECK(percent_of(tank, start).value() == Approx(45.0).epsilon(1e-9));
  }
}
