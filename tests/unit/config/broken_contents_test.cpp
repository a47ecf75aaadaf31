// Every way to describe a tank that cannot be, one at a time.
#include "stillwell/config/configuration.hpp"

#include <cstdlib>

#include "support/catch.hpp"
#include "support/config_broken.hpp"
#include "support/process.hpp"

using namespace stillwell::config;
using support::expect_refused;

namespace {

constexpr const char* kShape = "shape: vertical-cylinder, diameter: 2.4 m";
constexpr const char* kPath = "tanks.header.holds";
constexpr int kLine = 34;

/// The one problem of a table in a file beside the configuration.
Problem told_about(const std::string& table, const std::string& name = "header.csv") {
  const support::TemporaryDirectory directory;
  support::write_file(directory.file("header.csv"), table);
  const Loaded loaded =
      parse(support::base_with(kShape, "strapping_file: " + name), directory.file("site.yaml"));
  CHECK_FALSE(loaded.configuration);
  REQUIRE(loaded.problems.size() == 1);
  CHECK(loaded.problems[0].line == kLine);
  CHECK(loaded.problems[0].column == 30);
  CHECK(loaded.problems[0].path == "tanks.header.holds.strapping_file");
  Problem problem = loaded.problems[0];
  if (const auto at = problem.text.find(directory.path()); at != std::string::npos)
    problem.text.replace(at, directory.path().size(), "DIR");
  return problem;
}

}  // namespace

TEST_CASE("broken contents: keys that the shape does not have, or lacks", "[config][errors][contents]") {
  expect_refused({
      {kShape, "shape: ball, diameter: 2.4 m", kLine, 21, "tanks.header.holds.shape",
       "'ball' is not a word for this"},
      {kShape, "shape: spere, diameter: 2.4 m", kLine, 21, "tanks.header.holds.shape",
       "did you mean 'sphere'?"},
      {kShape, "diameter: 2.4 m", kLine, 5, kPath,
       "expected exactly one of shape | capacity | strapping | strapping_file"},
      {kShape, "shape: sphere", kLine, 5, kPath, "missing key 'diameter'"},
      {kShape, "shape: sphere, diamter: 3 m, diameter: 3 m", kLine, 29, "tanks.header.holds.diamter",
       "did you mean 'diameter'?"},
      {kShape, "shape: sphere, diameter: 3 m, length: 3 m", kLine, 44, "tanks.header.holds.length",
       "has no meaning together with shape: sphere"},
      {"capacity: 5000 L", "capacity: 5000 L, diameter: 2 m", 41, 32, "tanks.cistern.holds.diameter",
       "has no meaning without shape"},
      {"capacity: 5000 L", "capacity: 5000 L, deadwood: [{ from: 0 m, to: 1 m, volume: 9 L }]", 41, 32,
       "tanks.cistern.holds.deadwood", "has no meaning together with capacity"},
      {kShape, "strapping: [[0 m, 0 L], [3 m, 9 m3]], deadwood: [{ from: 0 m, to: 1 m, volume: 9 L }]", kLine,
       52, "tanks.header.holds.deadwood", "has no meaning together with strapping"},
      {kShape, "strapping: [[0 m, 0 L], [3 m, 9 m3]], strapping_file: a.csv", kLine, 52,
       "tanks.header.holds.strapping_file", "'strapping' is given too"},
      {kShape, "shape: horizontal-cylinder, diameter: 3 m, length: 4 m, gauge_at: 1 m", kLine, 5, kPath,
       "missing key 'tilt'; gauge_at needs it"},
  });
}

TEST_CASE("broken contents: heads and bottoms", "[config][errors][contents]") {
  const std::string path = "tanks.header.holds.bottom";
  expect_refused({
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: round", kLine, 65, "tanks.header.holds.bottom.kind",
       "'round' is not a word for this; expected one of: flat, hemispherical"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: [flat]", kLine, 57, path.c_str(),
       "expected a word or a map of keys (kind, depth, crown, knuckle)"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: conical", kLine, 57, path.c_str(),
       "missing key 'depth'; kind: conical needs it"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: { kind: flat, depth: 5 cm }", kLine, 79,
       "tanks.header.holds.bottom.depth", "has no meaning together with kind: flat"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: { depth: 5 cm }", kLine, 57, path.c_str(),
       "missing key 'kind'"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: { kind: dished, depth: 1.3 m }", kLine, 88,
       "tanks.header.holds.bottom.depth", "depth is 1.3 m, more than 1.2 m; a spherical cap is at most"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: { kind: ellipsoidal, depth: 2.5 m }", kLine, 93,
       "tanks.header.holds.bottom.depth", "at most a diameter deep"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: { kind: conical, depth: 10 m }", kLine, 89,
       "tanks.header.holds.bottom.depth", "depth is 10 m, more than 9.6 m"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: { kind: torispherical, crown: 1 m, knuckle: 0.1 }", kLine,
       95, "tanks.header.holds.bottom.crown", "'1 m' is not a number"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: { kind: torispherical, crown: 0.4, knuckle: 0.1 }", kLine,
       95, "tanks.header.holds.bottom.crown", "out of range; expected 0.5 to 5"},
      {"diameter: 2.4 m", "diameter: 2.4 m, bottom: { kind: torispherical, crown: 1, knuckle: 0.6 }", kLine,
       107, "tanks.header.holds.bottom.knuckle", "out of range; expected 0.001 to 0.5"},
      {kShape, "shape: horizontal-cylinder, diameter: 3 m, length: 4 m, heads: [flat]", kLine, 77,
       "tanks.header.holds.heads", "expected one alone, or a list of 2"},
      {kShape, "shape: horizontal-cylinder, diameter: 3 m, length: 4 m, heads: [flat, dished]", kLine, 84,
       "tanks.header.holds.heads[1]", "missing key 'depth'; kind: dished needs it"},
  });
}

TEST_CASE("broken contents: dimensions that do not fit each other", "[config][errors][contents]") {
  expect_refused({
      {kShape, "shape: frustum, bottom: 0 m, top: 0 m, height: 3 m", kLine, 48, "tanks.header.holds.top",
       "the wider of bottom and top is 0 m"},
      {kShape, "shape: frustum, bottom: [1 m, 2 m], top: 2 m, height: 3 m", kLine, 38,
       "tanks.header.holds.bottom", "expected a length such as 2.4 m (0 m to 200 m), found a list"},
      {kShape, "shape: rectangular-frustum, bottom: [1 m], top: [2 m, 2 m], height: 3 m", kLine, 42,
       "tanks.header.holds.bottom", "expected a list [length, width]"},
      {kShape, "shape: rectangular-frustum, bottom: [1 m, 0 m], top: [2 m, 2 m], height: 3 m", kLine, 56,
       "tanks.header.holds.bottom.width", "out of range; expected 1 cm to 500 m"},
      {kShape, "shape: horizontal-cylinder, diameter: 3 m, length: 4 m, tilt: 50 cm", kLine, 76,
       "tanks.header.holds.tilt",
       "tilt is 0.5 m over a length of 4 m; give how much higher the far end lies"},
      {kShape, "shape: horizontal-cylinder, diameter: 3 m, length: 4 m, tilt: 5 cm, gauge_at: 5 m", kLine, 92,
       "tanks.header.holds.gauge_at", "gauge_at is 5 m, beyond the shell's length of 4 m"},
      {kShape,
       "shape: stack, sections: [{ shape: cone, diameter: 2 m, height: 1 m }, "
       "{ shape: sphere, diameter: 2 m, height: 3 m }]",
       kLine, 124, "tanks.header.holds.sections[1].height", "height is 3 m, but its shape ends at 2 m"},
      {kShape, "shape: stack, sections: [{ shape: sphere, diameter: 3 m }]", kLine, 39,
       "tanks.header.holds.sections[0]", "missing key 'height'"},
      {kShape, "shape: stack, sections: [{ shape: stack, height: 3 m }]", kLine, 48,
       "tanks.header.holds.sections[0].shape", "'stack' is not a word for this"},
      {kShape, "shape: stack, sections: { shape: sphere, diameter: 3 m, height: 3 m }", kLine, 38,
       "tanks.header.holds.sections", "expected a list of one or more"},
      {kShape,
       "shape: stack, sections: [{ shape: horizontal-cylinder, diameter: 3 m, length: 4 m, height: 3 m, "
       "tilt: 1 cm }]",
       kLine, 116, "tanks.header.holds.sections[0].tilt", "a section of a stack lies level"},
  });
}

TEST_CASE("broken contents: fittings", "[config][errors][contents]") {
  expect_refused({
      {"diameter: 2.4 m", "diameter: 2.4 m, deadwood: [{ from: 1 m, to: 50 cm, volume: 9 L }]", kLine, 68,
       "tanks.header.holds.deadwood[0]", "give its lower end first"},
      {"diameter: 2.4 m", "diameter: 2.4 m, deadwood: [{ from: 0 m, to: 50 cm }]", kLine, 68,
       "tanks.header.holds.deadwood[0]", "missing key 'volume'"},
      {"diameter: 2.4 m",
       "diameter: 2.4 m, deadwood: [{ from: 0 m, to: 1 m, volume: 9 L }, { from: 1 m, to: 2 m, volume: 9 m3 "
       "}]",
       kLine, 105, "tanks.header.holds.deadwood[1]", "all deadwood together is wider than the tank"},
      {kShape, "shape: sphere, diameter: 3 m, deadwood: [{ from: 1 m, to: 4 m, volume: 9 L }]", kLine, 55,
       "tanks.header.holds.deadwood[0]", "ends above the shape's own top at 3 m"},
  });
}

TEST_CASE("broken contents: a full line that the tank does not have", "[config][errors][contents]") {
  expect_refused({
      {kShape, "shape: sphere, diameter: 2.4 m", 33, 14, "tanks.header.to_full",
       "the full line is 2.45 m above the lowest point inside, and what the tank holds ends at 2.4 m"},
      {kShape, "strapping: [[0 m, 0 L], [2 m, 9 m3]]", 33, 14, "tanks.header.to_full",
       "the full line is 2.45 m above the lowest point inside, and what the tank holds ends at 2 m"},
      {kShape, "strapping: [[2.5 m, 0 L], [3 m, 9 m3]]", 33, 14, "tanks.header.to_full",
       "up to there the tank holds nothing"},
      {"shape: rectangular, length: 1 m, width: 0.5 m", "shape: cone, diameter: 1 m, height: 1.1 m", 44, 11,
       "tanks.sump.full",
       "the full line is 1.2 m above the lowest point inside, and what the tank holds ends at 1.1 m"},
  });
  CHECK(parse(support::base_with(kShape, "shape: sphere, diameter: 2.45 m"), "site.yaml").configuration);
}

TEST_CASE("broken contents: set points where the gauge tells nothing", "[config][errors][interlock]") {
  // Its floor lies 48 cm above the lowest point: the gauge never tells less.
  expect_refused({
      {kShape, "shape: horizontal-cylinder, diameter: 3 m, length: 10 m, tilt: 60 cm, gauge_at: 8 m", 36, 18,
       "tanks.header.alarms.low.at", "expected more than 0.480 m"},
      {"station: 4\n", "station: 4\n    mounted_at: 20 cm\n", 63, 14, "pumps.drain.stop_at",
       "at 0.180 m the gauge of tank 'sump' tells nothing; expected more than 0.200 m"},
  });
}

TEST_CASE("broken contents: strapping tables", "[config][errors][contents]") {
  expect_refused({
      {kShape, "strapping: []", kLine, 25, "tanks.header.holds.strapping",
       "expected a list of one or more, such as [ … ], each a list [level, volume]"},
      {kShape, "strapping: [[0 m, 0 L]]", kLine, 25, "tanks.header.holds.strapping", "give at least two"},
      {kShape, "strapping: [[0 m, 0 L], [3 m]]", kLine, 38, "tanks.header.holds.strapping[1]",
       "expected a list [level, volume]"},
      {kShape, "strapping: [[0 m, 0 L], [3 m, 9]]", kLine, 44, "tanks.header.holds.strapping[1].volume",
       "has no unit; expected L, m3"},
      {kShape, "strapping: [[0 m, 0 L], { level: 3 m, volume: 9 L }]", kLine, 38,
       "tanks.header.holds.strapping[1]", "expected a list [level, volume]"},
      {kShape, "strapping: [[0 m, 0 L], [3 m, 9 L], [2 m, 10 L]]", kLine, 25, "tanks.header.holds.strapping",
       "point 3 (2 m, 10 L) is not deeper than the one before it"},
      {kShape, "strapping: [[0 m, 0 L], [2 m, 9 L], [3 m, 8 L]]", kLine, 25, "tanks.header.holds.strapping",
       "contents never fall as the depth rises"},
  });
}

TEST_CASE("broken contents: files of strapping tables name the file and the line",
          "[config][errors][contents]") {
  CHECK(told_about("level_m,volume_l\n0,0\n1 m,2\n").text == "DIR/header.csv: line 3: '1 m' is not a number");
  CHECK(told_about("depth,litres\n").text.find("DIR/header.csv: line 1: 'depth,litres' is no header") == 0);
  CHECK(told_about("level_m,volume_l\n0,0\n\xff,2\n")
            .text.find("DIR/header.csv: line 3: a byte that is not UTF-8") == 0);
  CHECK(told_about("level_m,volume_l\n0,0\n0,2\n")
            .text.find("DIR/header.csv: point 2 (0 m, 2 L) is not deeper") == 0);
  CHECK(told_about("", "none.csv").text == "DIR/none.csv: there is no such file");
  CHECK(told_about("", "'.'").text == "DIR/.: is not a file");
  CHECK(told_about(std::string(1'100'000, '#')).text.find("larger than 1024 kB") != std::string::npos);
  REQUIRE(unsetenv("STILLWELL_TEST_UNSET") == 0);
  CHECK(told_about("", "'${STILLWELL_TEST_UNSET}/a.csv'").text ==
        "the variable STILLWELL_TEST_UNSET is not set in the environment");
  CHECK(told_about("", "'${STILLWELL'").text.find("is not a variable; expected ${NAME}") !=
        std::string::npos);
}
