// Meters, and the power guard that reads them.
#include "stillwell/config/bus_load.hpp"

#include <chrono>
#include <string>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/config_whole.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

const std::string kWatts =
    "  lift-power: { line: shed, station: 20, table: input, address: 12, as: u16, unit: W, every: 1 s }\n";
const std::string kAmperes =
    "  lift-power: { line: shed, station: 20, table: holding, address: 7, as: u16,\n"
    "                scale: [[819, 0 A], [4095, 10 A]], fault_below: 740, fault_above: 4150 }\n";
const std::string kGuard = "    dry_run: { power: { meter: lift-power, below: 350 W } }\n";

/// The base with these meters, and this dry-run guard of the lift pump. The meters stand in line 22.
std::string with(const std::string& meters, const std::string& guard) {
  return support::replaced(support::base_with("contacts:\n", "meters:\n" + meters + "contacts:\n"),
                           "    dry_run: { source_below: 15 % }\n", guard);
}

struct Told {
  int line;
  int column;
  const char* path;
  const char* says;
};

void expect_refused(const std::string& text, const Told& expected) {
  INFO(text);
  const auto loaded = config::parse(text, "site.yaml");
  CHECK_FALSE(loaded.configuration);
  CHECK(loaded.problems.size() == 1);
  for (const auto& problem : loaded.problems) {
    UNSCOPED_INFO(problem.to_text());
    CHECK(problem.line == expected.line);
    CHECK(problem.column == expected.column);
    CHECK(problem.path == expected.path);
    CHECK(problem.text.find(expected.says) != std::string::npos);
  }
}

}  // namespace

TEST_CASE("meters: one that shows watts, and the guard that reads it", "[config][meters]") {
  const auto configuration = support::whole(with(kWatts, kGuard));
  REQUIRE(configuration.model.meters.size() == 1);
  const Meter& meter = configuration.model.meters[0];
  CHECK(meter.id == "lift-power");
  CHECK(meter.rules.kind == LoadKind::power);
  CHECK(meter.rules.stale_after == 3s);
  const config::MeterWiring& wiring = configuration.wiring.meters.at(0);
  CHECK(wiring.station == 20);
  CHECK(wiring.every == 1s);
  CHECK(wiring.number.table == config::Table::input);
  CHECK(wiring.number.address == 12);
  CHECK(wiring.number.as == config::Encoding::u16);
  CHECK(wiring.number.unit == 1.0);
  const auto& power = configuration.model.pumps[0].dry_run.power;
  REQUIRE(power);
  CHECK(power->meter == MeterIndex{0});
  CHECK(power->below == MotorLoad{350.0});
  CHECK(power->lasts == 5s);
}

TEST_CASE("meters: one that shows amperes through a scale", "[config][meters]") {
  const auto configuration = support::whole(
      with(kAmperes, "    dry_run: { power: { meter: lift-power, below: 1800 mA, for: 8 s } }\n"));
  CHECK(configuration.model.meters.at(0).rules.kind == LoadKind::current);
  const config::RegisterNumber& number = configuration.wiring.meters.at(0).number;
  CHECK(819 * number.unit + number.offset == Approx(0.0).margin(1e-12));
  CHECK(4095 * number.unit + number.offset == Approx(10.0));
  CHECK(number.fault_below == 740.0);
  CHECK(number.fault_above == 4150.0);
  CHECK(configuration.model.pumps[0].dry_run.power->below.value() == Approx(1.8));
  CHECK(configuration.model.pumps[0].dry_run.power->lasts == 8s);
}

TEST_CASE("meters: a count may be worth a fraction, and a multiple", "[config][meters]") {
  const auto worth = [](const std::string& unit, const std::string& below) {
    const auto text = with(support::replaced(kWatts, "unit: W", "unit: " + unit),
                           support::replaced(kGuard, "350 W", below));
    return support::whole(text).wiring.meters.at(0).number.unit;
  };
  CHECK(worth("0.1 W", "350 W") == Approx(0.1));
  CHECK(worth("kW", "0.35 kW") == Approx(1000.0));
  CHECK(worth("10 mA", "1.8 A") == Approx(0.01));
}

TEST_CASE("meters: a reading is not older than the delay that relies on it", "[config][meters][rule-2]") {
  const auto configuration =
      support::whole(with(kWatts, support::replaced(kGuard, "350 W }", "350 W, for: 2 s }")));
  CHECK(configuration.model.meters.at(0).rules.stale_after == 2s);
}

TEST_CASE("meters: power is guard enough where the suction is not watched", "[config][meters][rule-8]") {
  const auto text = support::replaced(with(kWatts, kGuard), "from: cistern", "from: unwatched");
  const auto configuration = support::whole(text);
  CHECK_FALSE(configuration.model.pumps[0].source);
  for (const auto& finding : examine(configuration))
    CHECK((finding.code != "dry-run-guard-missing" || finding.of != "lift"));
}

TEST_CASE("meters: reading one takes its time of the line", "[config][meters]") {
  const auto configuration = support::whole(with(kWatts, kGuard));
  config::Wiring without = configuration.wiring;
  without.meters.clear();
  config::Wiring as_gauge = without;
  config::ModbusGauge gauge;
  gauge.station = 20;
  gauge.number = configuration.wiring.meters[0].number;
  as_gauge.gauges.push_back({.line = {0}, .every = 1s, .source = gauge});
  CHECK(bus_load(configuration.wiring, {0}) > bus_load(without, {0}));
  CHECK(bus_load(configuration.wiring, {0}) == Approx(bus_load(as_gauge, {0})));
}

TEST_CASE("broken: a meter that cannot be read, or that nobody reads", "[config][errors][meters]") {
  const auto meter = [](const char* from, const char* to) {
    return with(support::replaced(kWatts, from, to), kGuard);
  };
  expect_refused(meter("line: shed", "line: mast"),
                 {23, 23, "meters.lift-power.line", "expected a line that carries modbus"});
  expect_refused(meter("unit: W, ", ""),
                 {23, 3, "meters.lift-power", "expected exactly one of unit | scale"});
  expect_refused(meter("unit: W", "unit: V"), {23, 84, "meters.lift-power.unit", "expected W, kW, A, mA"});
  expect_refused(meter("unit: W", "unit: -1 W"),
                 {23, 84, "meters.lift-power.unit", "expected more than 0 W"});
  expect_refused(meter("as: u16", "as: u17"), {23, 73, "meters.lift-power.as", "u16"});
  expect_refused(meter("station: 20, table: input, address: 12", "station: 1, table: input, address: 0"),
                 {23, 64, "meters.lift-power.address",
                  "input register 0 of station 1 is taken by gauges.header-top.distance.address in line 10"});
  expect_refused(meter("every: 1 s", "every: 1 s, stale_after: 1 s"),
                 {23, 112, "meters.lift-power.stale_after", "expected more than every"});
  expect_refused(
      with(support::replaced(kAmperes, "10 A", "10 W"), support::replaced(kGuard, "350 W", "1.8 A")),
      {24, 44, "meters.lift-power.scale[1].value", "in W, and the first point is in A"});
  expect_refused(with(kWatts, "    dry_run: { source_below: 15 % }\n"),
                 {23, 3, "meters.lift-power", "no pump reads it"});
}

TEST_CASE("broken: a power guard that could not trip, or not in time",
          "[config][errors][meters][interlock]") {
  const auto guard = [](const char* from, const char* to) {
    return with(kWatts, support::replaced(kGuard, from, to));
  };
  expect_refused(guard("350 W", "0 W"), {58, 51, "pumps.lift.dry_run.power.below", "expected more than 0 W"});
  expect_refused(guard("350 W", "-5 W"), {58, 51, "pumps.lift.dry_run.power.below", "could never trip"});
  expect_refused(guard("350 W", "350"),
                 {58, 51, "pumps.lift.dry_run.power.below", "has no unit; expected W, kW, A, mA"});
  expect_refused(guard("350 W", "1.8 A"),
                 {58, 51, "pumps.lift.dry_run.power.below", "in A, and the meter shows W"});
  expect_refused(guard("meter: lift-power", "meter: left-power"),
                 {58, 32, "pumps.lift.dry_run.power.meter", "did you mean 'lift-power'?"});
  expect_refused(guard(", below: 350 W", ""), {58, 16, "pumps.lift.dry_run.power", "missing key 'below'"});
  expect_refused(guard("350 W", "350 W, for: 100 ms"),
                 {58, 63, "pumps.lift.dry_run.power.for", "out of range; expected 200 ms to 10 min"});
  expect_refused(guard("350 W", "350 W, for: 1 s"), {58, 63, "pumps.lift.dry_run.power.for",
                                                     "meter 'lift-power' is read every 1 s, too seldom"});
  expect_refused(
      with(support::replaced(kWatts, "every: 1 s", "stale_after: 10 s"), kGuard),
      {58, 16, "pumps.lift.dry_run.power.for", "shorter than stale_after of meter 'lift-power' (10 s)"});
}

TEST_CASE("broken: a meter shows one motor alone", "[config][errors][meters][interlock]") {
  const auto text = support::replaced(with(kWatts, kGuard), "    trips: { high: 90 % }\n",
                                      "    trips: { high: 90 % }\n" + kGuard);
  expect_refused(text, {67, 32, "pumps.drain.dry_run.power.meter", "pump 'lift' already has this meter"});
}
