// Rule 12: a motor that is stuck on is also seen in its tank, where nothing else moves the water its way.

#include <chrono>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;
using Kind = PumpEvent::Kind;

namespace {

/// 10 mm/min within 3 min: 30 mm.
constexpr double kRate = 0.010 / 60.0;

/// Off and rested, between its levels, with nothing but its tank to show the motor.
PumpBench by_level_alone(Pump pump) {
  pump.unasked = RiseGuard{MetresPerSecond{kRate}, 3min};
  pump.feedback.reset();
  PumpBench bench{std::move(pump)};
  bench.inputs.tank = bench.between();
  bench.rested();
  bench.story.clear();
  return bench;
}

/// The level moves by so much a second, the pump's way when positive.
void move(PumpBench& bench, double rate, Duration time) {
  double level = bench.inputs.tank.level->value();
  for (Duration gone{}; gone < time; gone += 1s) {
    level += bench.fills() ? rate : -rate;
    bench.inputs.tank = known(level);
    bench.scan();
  }
}

bool locked_out(const PumpBench& bench) {
  return bench.memory.lock_out == Cause::stuck_on;
}

}  // namespace

TEST_CASE("rule 12: a tank that moves its pump's way while that is off shows a motor that is stuck on",
          "[pump][rules][rule-12]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    PumpBench bench = by_level_alone(pump);
    move(bench, kRate * 1.02, 2min + 50s);
    CHECK_FALSE(locked_out(bench));
    move(bench, kRate * 1.02, 3min + 15s);  // its time may have begun long before
    CHECK(locked_out(bench));
    REQUIRE(bench.story.size() == 1);
    CHECK(bench.story[0].kind == Kind::lock_out);
    CHECK(bench.story[0].cause == Cause::stuck_on);
  }
}

TEST_CASE("rule 12: a tank that moves more slowly, back, or not at all shows nothing",
          "[pump][rules][rule-12]") {
  for (const double rate : {0.0, kRate * 0.9, -kRate * 5.0}) {
    PumpBench bench = by_level_alone(fill_pump());
    move(bench, rate, 1h);
    CHECK_FALSE(locked_out(bench));
  }
  PumpBench waves = by_level_alone(fill_pump());
  for (int time = 0; time < 200; ++time) {
    move(waves, 0.002, 10s);  // 20 mm up and down again
    move(waves, -0.002, 10s);
  }
  CHECK_FALSE(locked_out(waves));
}

TEST_CASE("rule 12: what another pump moves, and what nobody sees, is no sign", "[pump][rules][rule-12]") {
  PumpBench helped = by_level_alone(fill_pump());
  helped.inputs.is_helped = true;
  move(helped, kRate * 2.0, 10min);
  CHECK_FALSE(locked_out(helped));
  helped.inputs.is_helped = false;
  move(helped, 0.0, 10min);
  CHECK_FALSE(locked_out(helped));

  PumpBench doubtful = by_level_alone(fill_pump());
  const double certain = doubtful.inputs.tank.level->value();
  doubtful.inputs.tank = known(certain + 0.1, 0.2);
  doubtful.scan_for(10min);
  doubtful.inputs.tank = known(certain);
  doubtful.scan_for(10min);
  CHECK_FALSE(locked_out(doubtful));

  PumpBench blind = by_level_alone(fill_pump());
  const double before = blind.inputs.tank.level->value();
  blind.inputs.tank = unknown();
  blind.scan_for(2min);
  blind.inputs.tank = known(before + 0.1);
  blind.scan_for(5min);
  CHECK_FALSE(locked_out(blind));
}

TEST_CASE("rule 12: its own run moves its tank, and what runs on in the pipe is less than the step",
          "[pump][rules][rule-12]") {
  PumpBench bench = by_level_alone(fill_pump());
  bench.inputs.tank = bench.asking();
  bench.scan();
  REQUIRE(bench.on());
  bench.inputs.tank = bench.between();
  move(bench, kRate * 4.0, 10min);
  REQUIRE(bench.on());
  bench.inputs.tank = bench.at_rest();
  bench.scan();
  REQUIRE_FALSE(bench.on());
  move(bench, 0.002, 10s);
  move(bench, 0.0, 10min);
  CHECK_FALSE(locked_out(bench));
}

TEST_CASE("rule 12: its lock-out is reset only when the tank has stood still for the whole time",
          "[pump][rules][rule-12]") {
  PumpBench bench = by_level_alone(fill_pump());
  move(bench, kRate * 1.02, 7min);
  REQUIRE(locked_out(bench));
  CHECK_FALSE(reset(bench.memory));
  move(bench, kRate * 1.02, 1h);
  CHECK_FALSE(reset(bench.memory));
  bench.inputs.tank = unknown();  // nobody sees whether it stands
  bench.scan_for(10min);
  CHECK_FALSE(reset(bench.memory));
  bench.inputs.tank = bench.between();
  bench.scan_for(6min + 5s);
  CHECK(reset(bench.memory));
}

TEST_CASE("rule 12: an isolator opens on a tank that moves unasked", "[pump][rules][rule-12]") {
  Pump pump = fill_pump();
  pump.isolator = Isolator{ContactIndex{1}, 3s};
  PumpBench bench = by_level_alone(pump);
  REQUIRE(bench.last.isolator == Order::on);
  move(bench, kRate * 1.02, 7min);
  CHECK(bench.last.isolator == Order::off);
}
