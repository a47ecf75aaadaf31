// Verdicts against each other, lock-outs, and what a person may do about them.

#include <algorithm>
#include <chrono>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;
using Kind = PumpEvent::Kind;

namespace {

/// One start whose feedback never comes; ends with the pump off.
void fail_to_follow(PumpBench& bench) {
  bench.rested();
  bench.inputs.tank = bench.asking();
  bench.motor_obeys = false;
  bench.inputs.feedback = is_on(false);
  for (int i = 0; i < 20 && !(bench.memory.order == Order::on); ++i)
    bench.scan();
  REQUIRE(bench.on());
  for (int i = 0; i < 20 && bench.on(); ++i)
    bench.scan();
  REQUIRE_FALSE(bench.on());
  bench.motor_obeys = true;
}

PumpBench locked_by_over_time() {
  Pump pump = fill_pump();
  pump.limits.run_at_most = 10min;
  PumpBench bench{pump};
  bench.running();
  bench.scan_for(10min);
  REQUIRE(bench.last.state == PumpState::locked_out);
  return bench;
}

}  // namespace

TEST_CASE("rule 1: the worst verdict wins", "[pump][rules]") {
  PumpBench bench = [] {
    Pump pump = fill_pump();
    pump.limits.run_at_most = 70s;
    return PumpBench{pump};
  }();
  bench.running();
  bench.scan(70s - (bench.now - bench.memory.ordered_at));
  REQUIRE(bench.on());
  bench.inputs.source = known(0.1);   // a trip
  set_mode(bench.memory, Mode::off);  // a stop
  bench.scan();                       // and over-time, a lock-out
  REQUIRE(bench.last.events.size() == 1);
  CHECK(bench.last.events.front().kind == Kind::lock_out);
  CHECK(bench.last.events.front().cause == Cause::over_time);
  CHECK(bench.last.held_by.front() == Cause::over_time);
  CHECK(bench.held_by(Cause::source_low));  // all are kept
  CHECK(bench.held_by(Cause::mode_off));
}

TEST_CASE("rule 1: of two trips in one scan one is first, the same each time", "[pump][rules]") {
  for (int time = 0; time < 3; ++time) {
    PumpBench bench{fill_pump()};
    bench.running();
    bench.inputs.float_trip = is_on(true);
    bench.inputs.source = known(0.1);
    bench.scan();
    REQUIRE(bench.last.events.size() == 1);
    CHECK(bench.last.events.front().cause == Cause::source_low);
    CHECK(bench.memory.first_out == Cause::source_low);
    CHECK(bench.held_by(Cause::float_switch));
  }
}

TEST_CASE("first-out: what follows the first cause does not replace it", "[pump][first-out]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.inputs.source = known(0.1);
  bench.scan();
  bench.inputs.tank = unknown();
  bench.inputs.float_trip = is_on(true);
  bench.scan_for(60s);
  bench.inputs.source = known(1.0);
  bench.scan_for(60s);
  CHECK(bench.memory.first_out == Cause::source_low);
  CHECK(bench.held_by(Cause::tank_unknown));
}

TEST_CASE("first-out: it is kept for people until the next trip", "[pump][first-out]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.inputs.source = known(0.1);
  bench.scan();
  bench.inputs.source = known(1.0);
  bench.running();
  REQUIRE(bench.on());
  CHECK(bench.memory.first_out == Cause::source_low);
  bench.inputs.float_trip = is_on(true);
  bench.scan();
  CHECK(bench.memory.first_out == Cause::float_switch);
}

TEST_CASE("rule 10: no-feedback trips once and locks out the second time", "[pump][rules]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    PumpBench bench{pump};
    fail_to_follow(bench);
    CHECK(bench.story.back().kind == Kind::trip);
    CHECK_FALSE(bench.memory.lock_out.has_value());
    fail_to_follow(bench);
    CHECK(bench.story.back().kind == Kind::lock_out);
    CHECK(bench.last.state == PumpState::locked_out);
    CHECK(bench.memory.lock_out == Cause::no_feedback);
  }
}

TEST_CASE("rule 10: ten minutes of good running forgive the first no-feedback", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  fail_to_follow(bench);
  bench.running();
  bench.scan_for(10min);
  REQUIRE(bench.on());
  bench.inputs.tank = bench.at_rest();
  bench.scan();
  fail_to_follow(bench);
  CHECK(bench.story.back().kind == Kind::trip);
}

TEST_CASE("rule 10: a person on the spot may forgive the first no-feedback, a network may not",
          "[pump][rules]") {
  PumpBench bench{fill_pump()};
  CHECK_FALSE(reset(bench.memory));  // there is nothing to forgive
  fail_to_follow(bench);
  CHECK_FALSE(reset(bench.memory, Origin::network));
  CHECK(reset(bench.memory));
  fail_to_follow(bench);
  CHECK(bench.story.back().kind == Kind::trip);
}

TEST_CASE("rule 10: who forgives a missing feedback ends no trip that stands", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  fail_to_follow(bench);
  bench.running();
  bench.inputs.source = known(0.1);
  bench.scan();
  REQUIRE(bench.last.state == PumpState::tripped);
  bench.story.clear();
  CHECK(reset(bench.memory));
  bench.scan();
  CHECK(bench.last.state == PumpState::tripped);
  CHECK(bench.story.empty());
}

TEST_CASE("rule 10: the second no-feedback locks out, whatever else happens in that scan", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  fail_to_follow(bench);
  bench.rested();
  bench.inputs.tank = bench.asking();
  bench.motor_obeys = false;
  bench.inputs.feedback = is_on(false);
  for (int i = 0; i < 20 && !bench.on(); ++i)
    bench.scan();
  bench.scan(100ms);                 // confirmed on, the motor does not follow
  bench.inputs.source = known(0.1);  // trips in the very scan in which the time is up
  bench.scan(3s);
  REQUIRE_FALSE(bench.on());
  CHECK(bench.memory.lock_out == Cause::no_feedback);
  CHECK(bench.last.state == PumpState::locked_out);
}

TEST_CASE("rule 10: a lock-out ends by a reset and by nothing else", "[pump][rules]") {
  PumpBench bench = locked_by_over_time();
  bench.story.clear();
  bench.inputs.tank = bench.at_rest();
  bench.scan_for(1h);
  set_mode(bench.memory, Mode::off);
  bench.scan_for(60s);
  set_mode(bench.memory, Mode::automatic);
  bench.inputs.tank = unknown();
  bench.scan_for(60s);
  bench.inputs.tank = bench.asking();
  bench.scan_for(3h);
  CHECK_FALSE(bench.on());
  CHECK(bench.last.state == PumpState::locked_out);
  CHECK(bench.story.empty());
  CHECK(bench.held_by(Cause::over_time));  // it says what holds it
  CHECK(reset(bench.memory));
  CHECK(bench.scan().order == Order::on);
}

TEST_CASE("rule 10: a reset starts nothing that something else holds", "[pump][rules]") {
  PumpBench bench = locked_by_over_time();
  bench.inputs.source = known(0.1);
  CHECK(reset(bench.memory));
  bench.inputs.tank = bench.asking();
  bench.scan_for(1h);
  CHECK_FALSE(bench.on());
}

TEST_CASE("rule 10: there is nothing to reset twice", "[pump][rules]") {
  PumpBench bench = locked_by_over_time();
  CHECK(reset(bench.memory));
  CHECK_FALSE(reset(bench.memory));
  PumpBench well{fill_pump()};
  CHECK_FALSE(reset(well.memory));
}

TEST_CASE("rule 15: off wins over everything, at once and for as long as it stands", "[pump][rules]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    PumpBench bench{pump};
    bench.rested();
    bench.inputs.tank = bench.asking();
    REQUIRE(bench.scan().order == Order::on);  // inside its minimum run
    set_mode(bench.memory, Mode::off);
    CHECK(bench.scan().order == Order::off);
    CHECK(bench.last.state == PumpState::stopped);
    bench.scan_for(3h);
    CHECK_FALSE(bench.on());
    CHECK(bench.held_by(Cause::mode_off));
    set_mode(bench.memory, Mode::automatic);
    CHECK(bench.scan().order == Order::on);
  }
}

TEST_CASE("rule 15: a trip that ends does not undo an off", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.inputs.source = known(0.1);
  set_mode(bench.memory, Mode::off);
  bench.scan();
  bench.inputs.source = known(1.0);
  bench.inputs.tank = bench.asking();
  bench.scan_for(1h);
  CHECK_FALSE(bench.on());
}

TEST_CASE("waiting: a pump that wants to run always says what holds it", "[pump][words]") {
  PumpBench bench{fill_pump()};
  bench.inputs.tank = bench.asking();
  for (int second = 0; second < 30 && !bench.on(); ++second) {
    bench.scan();
    REQUIRE(bench.last.state == PumpState::waiting);
    REQUIRE_FALSE(bench.last.held_by.empty());
  }
}
