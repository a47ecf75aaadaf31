#include "stillwell/rehearsal/scenario_file.hpp"

#include <chrono>

#include "support/catch.hpp"
#include "support/plant_bench.hpp"

using namespace stillwell;
using namespace stillwell::rehearsal;
using namespace stillwell::literals;
using namespace std::chrono_literals;
using namespace support;

namespace {

/// The bench with a meter of each kind.
Model metered_model() {
  Model model = bench_model();
  model.meters = {{"lift-power", {}}, {"bore-current", {.kind = LoadKind::current, .stale_after = {}}}};
  return model;
}

LoadedScenario read(const std::string& text) {
  return parse_scenario(text, "s.yaml", metered_model());
}

constexpr const char* kWhole = R"(
seed: 7
air: 18 degC
ripple: 2 mm
cycle: 2 min
tanks:
  header: { start: 38 %, draw: 120 L/min }
  cistern:
    start: 300 L
    brim: 1.02 m
    intake: 8 cm
    inflow: [[0 s, 6 L/min], [20 s, 0 L/min]]
pumps: { lift: 360 L/min }
switches:
  header-float: { tank: header, on_above: 96 % }
  lift-running: { tank: cistern, on_below: 6 cm }
meters:
  lift-power: { pump: lift, wet: 900 W, dry: 0.25 kW }
  bore-current: { pump: bore, wet: 4 A, dry: 1500 mA }
faults:
  - { at: 20 s, what: header-gauge, fault: silence, for: 5 s }
  - { at: 30 s, what: header-gauge, fault: stuck, size: 1.2 m }
)";

}  // namespace

TEST_CASE("scenario: every key arrives where it belongs", "[rehearsal][scenario]") {
  const auto loaded = read(kWhole);
  for (const auto& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(loaded.scenario);
  const auto& scenario = *loaded.scenario;
  CHECK(scenario.seed == 7);
  CHECK(scenario.air.value() == 18.0);
  CHECK(scenario.ripple == 0.002_m);
  CHECK(scenario.cycle == 120s);
  CHECK(scenario.tanks[kHeader.at].start.value() == Approx(0.38));
  CHECK(scenario.tanks[kHeader.at].draw.at(1h).value() == Approx(2.0));
  const auto& cistern = scenario.tanks[kCistern.at];
  CHECK(cistern.start.value() == Approx(0.3));
  CHECK(cistern.brim == 1.02_m);
  CHECK(cistern.intake.value() == Approx(0.08));
  CHECK(cistern.inflow.at(19s).value() == Approx(0.1));
  CHECK(cistern.inflow.at(20s).value() == 0.0);
  CHECK(scenario.pump_flow[kLift.at].value() == Approx(6.0));
  CHECK(scenario.pump_flow[kBore.at].value() == Approx(1.0));  // its nameplate
  REQUIRE(scenario.floats.size() == 2);
  CHECK(scenario.floats[0].on_above);
  CHECK(scenario.floats[0].level.value() == Approx(0.96));
  CHECK_FALSE(scenario.floats[1].on_above);
  REQUIRE(scenario.supplies.size() == 2);
  CHECK(scenario.supplies[0].meter == MeterIndex{0});
  CHECK(scenario.supplies[0].pump == kLift);
  CHECK(scenario.supplies[0].wet == MotorLoad{900.0});
  CHECK(scenario.supplies[0].dry == MotorLoad{250.0});
  CHECK(scenario.supplies[1].pump == kBore);
  CHECK(scenario.supplies[1].dry.value() == Approx(1.5));
  REQUIRE(scenario.faults.size() == 2);
  CHECK(scenario.faults[0].until == 25s);
  CHECK_FALSE(scenario.faults[1].until);
}

TEST_CASE("scenario: an empty map is still water", "[rehearsal][scenario]") {
  const auto loaded = read("{}");
  REQUIRE(loaded.scenario);
  CHECK(loaded.scenario->tanks[kSump.at].start == 0.5_m);
}

TEST_CASE("scenario: each mistake is named with its place", "[rehearsal][scenario][errors]") {
  struct Case {
    const char* text;
    const char* problem;
  };
  const std::vector<Case> cases{
      {"tank: {}",
       "s.yaml:1:1: tank: is no key here; there are seed, air, ripple, cycle, tanks, pumps, switches, "
       "meters, faults"},
      {"seed: 1\nseed: 2", "s.yaml:2:1: seed: is there twice"},
      {"ripple: 2", "s.yaml:1:9: ripple: '2' has no unit; expected mm, cm, m"},
      {"seed: -1", "s.yaml:1:7: seed: '-1' is no whole number from 0 up"},
      {"seed: 1.5", "s.yaml:1:7: seed: '1.5' is no whole number from 0 up"},
      {"cycle: 10 ms", "s.yaml:1:8: cycle: a cycle lasts at least 1 s"},
      {"tanks:\n  heather: {}",
       "s.yaml:2:3: tanks.heather: is no key here; there are header, cistern, bore-well, sump"},
      {"tanks: { header: { start: -3 cm } }", "s.yaml:1:27: tanks.header.start: a level cannot be negative"},
      {"tanks: { header: { start: 2 m } }", "s.yaml:1:18: tanks.header: it starts above its brim"},
      {"tanks: { header: { draw: 5 L } }",
       "s.yaml:1:26: tanks.header.draw: 'L' is not a unit for this; expected L/min, L/h, m3/h"},
      {"tanks: { header: { draw: -5 L/min } }", "s.yaml:1:26: tanks.header.draw: it cannot be negative"},
      {"tanks: { header: { draw: [[9 s, 1 L/min], [3 s, 1 L/min]] } }",
       "s.yaml:1:43: tanks.header.draw: steps stand in order of time"},
      {"tanks: { header: { draw: [[9 s]] } }",
       "s.yaml:1:27: tanks.header.draw: expected a step such as [20 s, 5 L/min]"},
      {"tanks: [1]", "s.yaml:1:8: tanks: expected keys and values"},
      {"switches: { header-float: { on_above: 3 cm } }",
       "s.yaml:1:27: switches.header-float: 'tank' is missing"},
      {"switches: { header-float: { tank: header } }",
       "s.yaml:1:27: switches.header-float: give on_above or on_below"},
      {"switches: { header-float: { tank: heather, on_above: 3 cm } }",
       "s.yaml:1:35: switches.header-float.tank: the configuration has no tank 'heather'"},
      {"meters: { left-power: {} }",
       "s.yaml:1:11: meters.left-power: is no key here; there are lift-power, bore-current"},
      {"meters: { lift-power: { pump: lift, wet: 9 W } }",
       "s.yaml:1:23: meters.lift-power: 'dry' is missing"},
      {"meters: { lift-power: { pump: left, wet: 9 W, dry: 2 W } }",
       "s.yaml:1:31: meters.lift-power.pump: the configuration has no pump 'left'"},
      {"meters: { lift-power: { pump: lift, wet: 9 A, dry: 2 W } }",
       "s.yaml:1:42: meters.lift-power.wet: in A, and the meter shows W"},
      {"meters: { bore-current: { pump: bore, wet: 9 A, dry: 2 W } }",
       "s.yaml:1:54: meters.bore-current.dry: in W, and the meter shows A"},
      {"meters: { lift-power: { pump: lift, wet: 9 W, dry: -2 W } }",
       "s.yaml:1:52: meters.lift-power.dry: it cannot be negative"},
      {"meters: { lift-power: { pump: lift, wet: 9, dry: 2 W } }",
       "s.yaml:1:42: meters.lift-power.wet: '9' has no unit; expected W, kW, A, mA"},
      {"faults: [{ at: 3 s, what: header, fault: welded }]",
       "s.yaml:1:10: faults[0]: 'welded' befalls a contact; none is named 'header'"},
      {"faults: [{ at: 3 s, what: header-gauge, fault: stuck }]",
       "s.yaml:1:10: faults[0]: 'stuck' needs a size, for example 1.2 m"},
      {"faults: [{ what: shed, fault: unplugged }]", "s.yaml:1:10: faults[0]: 'at' is missing"},
      {"a: [", "s.yaml:1:1: end of sequence flow not found"},
      {"{}\n---\n{}", "s.yaml: expected exactly one document"},
  };
  for (const auto& [text, problem] : cases) {
    const auto loaded = read(text);
    INFO(text);
    CHECK_FALSE(loaded.scenario);
    REQUIRE_FALSE(loaded.problems.empty());
    const std::string told = loaded.problems.front().to_text();
    INFO("told: " << told);
    CHECK(told.starts_with(problem));
  }
}

TEST_CASE("scenario: all mistakes are told in one run", "[rehearsal][scenario][errors]") {
  const auto loaded = read("ripple: 2\nair: warm\ntanks: { header: { start: full } }\nfault: []");
  CHECK(loaded.problems.size() == 4);
}

TEST_CASE("scenario: a file that is none or too large is refused", "[rehearsal][scenario][errors]") {
  CHECK_FALSE(load_scenario("/nowhere/at/all.yaml", bench_model()).scenario);
  CHECK_FALSE(load_scenario("/tmp", bench_model()).scenario);
  CHECK_FALSE(read(std::string(300 * 1024, '#')).scenario);
}
