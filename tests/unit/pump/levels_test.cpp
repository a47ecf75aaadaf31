// What a pump may run on, and what its levels do: start and stop, trips, the unsafe edge of an uncertain
// value.

#include <chrono>
#include <cmath>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;

namespace {
constexpr double kBit = 1e-6;

/// Whether a rested pump starts on this.
bool starts_on(PumpBench bench, const Level& tank) {
  bench.rested();
  bench.inputs.tank = tank;
  return bench.scan().order == Order::on;
}
/// Whether a running pump goes on with this.
bool stays_on(PumpBench bench, const Level& tank) {
  bench.running();
  bench.inputs.tank = tank;
  return bench.scan().order == Order::on;
}
}  // namespace

TEST_CASE("rule 1: a pump that was told nothing is off, and says why", "[pump][rules]") {
  for (const Pump& pump : {Pump{}, fill_pump(), drain_pump()}) {
    PumpMemory memory;
    for (int second = 0; second < 3600; ++second) {
      const PumpOutcome outcome = solve(pump, memory, PumpInputs{.now = Instant{1h} + second * 1s});
      REQUIRE(outcome.order == Order::off);
      REQUIRE_FALSE(outcome.held_by.empty());
    }
  }
}

TEST_CASE("rule 1: taking away any one piece of evidence keeps the pump off", "[pump][rules]") {
  const auto started_without = [](const Pump& pump, int piece) {
    PumpBench bench{pump};
    bench.rested();
    bench.inputs.tank = bench.asking();
    if (piece == 1) bench.inputs.tank = Level{};
    if (piece == 2) (bench.fills() ? bench.inputs.source : bench.inputs.receiver).reset();
    if (piece == 3) bench.inputs.float_trip.reset();
    if (piece == 4) bench.inputs.source_float.reset();
    if (piece == 5) {
      bench.motor_obeys = false;
      bench.inputs.feedback.reset();
    }
    if (piece == 6) {
      bench.contact_obeys = false;
      bench.inputs.contact = {};
    }
    bench.scan();
    return bench.on();
  };
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    CHECK(started_without(pump, 0));
    for (int piece = 1; piece <= 6; ++piece) {
      INFO("piece " << piece);
      CHECK_FALSE(started_without(pump, piece));
    }
  }
}

TEST_CASE("rule 1: a number that is none permits nothing", "[pump][rules]") {
  const double none = std::nan("");
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    CHECK_FALSE(starts_on(PumpBench{pump}, known(none)));
    for (const bool far_end : {false, true}) {
      for (const Level& level :
           {known(none), Level{Metres{1.0}, Metres{none}, Quality::good, Reason::none, {}}}) {
        PumpBench bench{pump};
        bench.running();
        (far_end ? (bench.fills() ? *bench.inputs.source : *bench.inputs.receiver) : bench.inputs.tank) =
            level;
        CHECK(bench.scan().order == Order::off);
        REQUIRE(bench.last.events.size() == 1);
        CHECK(bench.last.events.front().cause.has_value());  // and it is not told as a level reached
      }
    }
  }
}

TEST_CASE("rule 1: a suction between its trip and its clear level has not yet earned a permit",
          "[pump][rules]") {
  // After a start of the program nobody knows whether the trip stood: the level must be seen well first.
  PumpBench fill{fill_pump()};
  fill.inputs.source = known(0.4);
  fill.rested();
  fill.inputs.tank = fill.asking();
  fill.scan_for(60s);
  CHECK_FALSE(fill.on());
  CHECK(fill.held_by(Cause::source_low));
  fill.inputs.source = known(0.5);
  CHECK(fill.scan().order == Order::on);
}

TEST_CASE("level: a fill pump starts at its start level and stops at its stop level", "[pump][levels]") {
  const PumpBench bench{fill_pump()};
  CHECK(starts_on(bench, known(1.0)));
  CHECK_FALSE(starts_on(bench, known(1.0 + kBit)));
  CHECK(stays_on(bench, known(2.0 - kBit)));
  CHECK_FALSE(stays_on(bench, known(2.0)));
}

TEST_CASE("level: a drain pump starts at its start level and stops at its stop level", "[pump][levels]") {
  const PumpBench bench{drain_pump()};
  CHECK(starts_on(bench, known(1.0)));
  CHECK_FALSE(starts_on(bench, known(1.0 - kBit)));
  CHECK(stays_on(bench, known(0.5 + kBit)));
  CHECK_FALSE(stays_on(bench, known(0.5)));
}

TEST_CASE("level: between start and stop the last wish stands", "[pump][levels]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    PumpBench bench{pump};
    CHECK_FALSE(starts_on(bench, bench.between()));
    bench.running();
    bench.scan_for(10min);
    CHECK(bench.on());
    bench.inputs.tank = bench.at_rest();
    bench.scan();
    bench.inputs.tank = bench.between();
    bench.scan_for(1h);
    CHECK_FALSE(bench.on());
  }
}

TEST_CASE("level: the wish to fill outlives a trip of the source, not a tank that is lost from sight",
          "[pump][levels]") {
  // As the README tells it.
  const auto comes_back = [](auto&& strike) {
    PumpBench bench{fill_pump()};
    bench.running();
    const PumpInputs well = bench.inputs;
    strike(bench.inputs);
    bench.scan_for(1min);
    CHECK(bench.last.state == PumpState::tripped);
    bench.inputs = well;
    bench.scan_for(10min);
    return bench.on();
  };
  CHECK(comes_back([](PumpInputs& in) { in.source = known(0.2); }));
  CHECK(comes_back([](PumpInputs& in) { in.source = unknown(); }));
  CHECK_FALSE(comes_back([](PumpInputs& in) { in.tank = unknown(); }));
}

TEST_CASE("level: a stop on level is an event without a fault", "[pump][levels]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    PumpBench bench{pump};
    bench.running();
    bench.inputs.tank = bench.at_rest();
    bench.scan();
    REQUIRE(bench.last.events.size() == 1);
    CHECK(bench.last.events.front().kind == PumpEvent::Kind::stop);
    CHECK_FALSE(bench.last.events.front().cause.has_value());
    CHECK(bench.last.state == PumpState::stopped);
    CHECK_FALSE(bench.memory.first_out.has_value());
  }
}

TEST_CASE("rule 2: an uncertain delivery is compared at its high edge", "[pump][rules]") {
  const PumpBench bench{fill_pump()};
  CHECK(starts_on(bench, known(0.95, 0.05 - kBit)));
  CHECK_FALSE(starts_on(bench, known(0.95, 0.06)));
  CHECK(stays_on(bench, known(1.9, 0.1 - kBit)));
  CHECK_FALSE(stays_on(bench, known(1.9, 0.11)));
}

TEST_CASE("rule 2: an uncertain suction is compared at its low edge", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.inputs.source = known(0.5, 0.2 - kBit);
  CHECK(bench.scan().order == Order::on);
  bench.inputs.source = known(0.5, 0.21);
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.memory.first_out == Cause::source_low);
}

TEST_CASE("rule 2: an uncertain tank of a drain pump is compared at the edge that stops it",
          "[pump][rules]") {
  const PumpBench bench{drain_pump()};
  CHECK(starts_on(bench, known(1.05, 0.05 - kBit)));
  CHECK_FALSE(starts_on(bench, known(1.05, 0.06)));
  CHECK(stays_on(bench, known(0.6, 0.1 - kBit)));
  CHECK_FALSE(stays_on(bench, known(0.6, 0.11)));
}

TEST_CASE("rule 2: an uncertain receiver is compared at its high edge", "[pump][rules]") {
  PumpBench bench{drain_pump()};
  bench.running();
  bench.inputs.receiver = known(2.1, 0.1 - kBit);
  CHECK(bench.scan().order == Order::on);
  bench.inputs.receiver = known(2.1, 0.11);
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.memory.first_out == Cause::source_high);
}

TEST_CASE("rule 6: a level stop overrides the minimum run", "[pump][rules]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    PumpBench bench{pump};
    bench.rested();
    bench.inputs.tank = bench.asking();
    REQUIRE(bench.scan().order == Order::on);
    bench.inputs.tank = bench.at_rest();
    CHECK(bench.scan().order == Order::off);
  }
}

TEST_CASE("rule 7: the high trip stands until the tank is back below its stop level", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.inputs.tank = known(2.2);
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.memory.first_out == Cause::tank_high);
  bench.inputs.tank = known(2.1);  // a wave must not restart it
  bench.scan();
  CHECK(bench.held_by(Cause::tank_high));
  bench.inputs.tank = known(1.9);
  bench.scan();
  CHECK_FALSE(bench.held_by(Cause::tank_high));
}

TEST_CASE("rule 7: the high trip needs no stop level", "[pump][rules]") {
  Pump pump = fill_pump();
  pump.stop_level = Metres{9.0};  // whatever the start and stop logic believes
  PumpBench bench{pump};
  bench.inputs.tank = known(2.0);
  bench.running();
  REQUIRE(bench.on());
  bench.inputs.tank = known(2.2);
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.memory.first_out == Cause::tank_high);
}

TEST_CASE("rule 7: floats need no gauge", "[pump][rules]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    for (const bool suction : {false, true}) {
      PumpBench bench{pump};
      bench.running();
      (suction ? bench.inputs.source_float : bench.inputs.float_trip) = is_on(true);
      CHECK(bench.scan().order == Order::off);
      CHECK(bench.memory.first_out == (suction ? Cause::source_float : Cause::float_switch));
    }
  }
}

TEST_CASE("rule 9: a drain pump's suction is its own tank", "[pump][rules]") {
  Pump pump = drain_pump();
  pump.stop_level = Metres{0.1};  // a stop level below the trip: the trip wins
  PumpBench bench{pump};
  bench.running();
  bench.inputs.tank = known(0.3);
  CHECK(bench.scan().order == Order::on);
  bench.inputs.tank = known(0.3 - kBit);
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.memory.first_out == Cause::source_low);
}

TEST_CASE("rule 10: a plain source-low comes back at source_clear by itself, after its rest",
          "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.inputs.source = known(0.3 - kBit);
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.last.state == PumpState::tripped);
  bench.inputs.source = known(0.5 - kBit);
  bench.scan_for(1h);
  CHECK_FALSE(bench.on());
  CHECK(bench.last.state == PumpState::tripped);
  bench.inputs.source = known(0.5);
  CHECK(bench.scan().order == Order::on);  // the rest has long passed
  CHECK_FALSE(bench.memory.lock_out.has_value());
}

TEST_CASE("rule 10: any number of source-low trips locks nothing out", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rules.limits.starts_per_hour = 0;
  for (int time = 0; time < 20; ++time) {
    bench.inputs.source = known(1.0);
    bench.running();
    REQUIRE(bench.on());
    bench.inputs.source = known(0.2);
    bench.scan();
    CHECK_FALSE(bench.on());
  }
  CHECK_FALSE(bench.memory.lock_out.has_value());
}
