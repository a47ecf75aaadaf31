// What shows that a pump moves no water, and how often it may try again (rules 8, 10 and 12).

#include <chrono>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;
using Kind = PumpEvent::Kind;

namespace {

/// Runs, and then runs dry; ends with the pump off.
void run_dry(PumpBench& bench) {
  REQUIRE(bench.on());
  bench.moves_water = false;
  bench.inputs.flow = is_on(false);
  bench.inputs.load = takes(800.0);
  for (int i = 0; i < 20 && bench.on(); ++i)
    bench.scan();
  REQUIRE_FALSE(bench.on());
  bench.moves_water = true;
}

/// Until it starts again; how long that took.
Duration next_start(PumpBench& bench) {
  const Instant from = bench.now;
  while (!bench.on() && bench.now < from + 48h)
    bench.scan(10s);
  return bench.now - from;
}

bool near(Duration time, Duration expected) {
  return time >= expected && time <= expected + 30s;
}

}  // namespace

TEST_CASE("rule 10: after a dry run it rests, each time twice as long, and is then locked out",
          "[pump][rules][dry]") {
  PumpBench bench{equipped(fill_pump())};
  bench.running();
  run_dry(bench);
  CHECK(bench.story.back().kind == Kind::trip);
  CHECK(bench.last.state == PumpState::tripped);
  CHECK(near(next_start(bench), 30min));
  run_dry(bench);
  CHECK(near(next_start(bench), 1h));
  run_dry(bench);
  CHECK(near(next_start(bench), 2h));
  run_dry(bench);
  CHECK(bench.story.back().kind == Kind::lock_out);
  CHECK(bench.story.back().cause == Cause::no_flow);
  CHECK(bench.last.state == PumpState::locked_out);
  bench.scan_for(10min);
  CHECK(next_start(bench) >= 48h);
  CHECK(reset(bench.memory));
  bench.scan_for(5min);
  CHECK(bench.on());
  run_dry(bench);
  CHECK(bench.story.back().kind == Kind::trip);  // counted anew
}

TEST_CASE("rule 10: the rest doubles up to a day", "[pump][rules][dry]") {
  const Retry retry{.after = 30min, .times = 100};
  CHECK(rest_after(retry, 1) == 30min);
  CHECK(rest_after(retry, 2) == 1h);
  CHECK(rest_after(retry, 6) == 16h);
  CHECK(rest_after(retry, 7) == 24h);
  CHECK(rest_after(retry, 1'000'000) == 24h);
}

TEST_CASE("rule 10: a good run of proved_by forgives, a shorter one does not", "[pump][rules][dry]") {
  for (const bool good : {true, false}) {
    PumpBench bench{equipped(fill_pump())};
    bench.running();
    run_dry(bench);
    next_start(bench);
    bench.scan_for(good ? Duration{10min} : Duration{9min});
    run_dry(bench);
    CHECK(near(next_start(bench), good ? Duration{30min} : Duration{1h}));
  }
}

TEST_CASE("rule 10: a run that was found dry counts once, whatever else ended it", "[pump][rules][dry]") {
  PumpBench bench{equipped(fill_pump())};
  bench.running();
  bench.moves_water = false;
  bench.inputs.flow = is_on(false);
  bench.inputs.load = takes(10.0);
  bench.scan_for(4s);
  bench.scan(10s);  // both are found in this scan
  bench.inputs.source = known(0.1);
  REQUIRE_FALSE(bench.on());
  CHECK(bench.memory.dry_run.failures == 1);
  CHECK(is_dry(bench.memory));
}

TEST_CASE("rule 10: a person on the spot may end the rest", "[pump][rules][dry]") {
  PumpBench bench{equipped(fill_pump())};
  bench.running();
  run_dry(bench);
  bench.scan_for(5min);
  CHECK_FALSE(reset(bench.memory, Origin::network));
  REQUIRE_FALSE(bench.on());
  CHECK(reset(bench.memory));
  bench.scan();
  CHECK(bench.on());
}

TEST_CASE("no-rise: a tank that follows in its time is no dry run, in any number of steps", "[pump][dry]") {
  for (const Pump& base : {fill_pump(), drain_pump()}) {
    Pump pump = equipped(base);
    pump.dry_run.rise = RiseGuard{MetresPerSecond{0.004 / 60.0}, 3min};
    PumpBench bench{pump};
    bench.rested();
    bench.inputs.tank = bench.asking();
    bench.scan();
    REQUIRE(bench.on());
    const double way = bench.fills() ? 1.0 : -1.0;
    double level = bench.inputs.tank.level->value();
    for (int second = 0; second < 20 * 60; ++second) {
      level += way * 0.0045 / 60.0;
      bench.inputs.tank = known(level);
      bench.scan();
    }
    CHECK(bench.on());
    bench.story.clear();
    Instant still = bench.now;
    while (bench.on() && bench.now < still + 10min)
      bench.scan();
    CHECK(bench.now - still <= 3min + 1s);
    CHECK(bench.memory.first_out == Cause::no_rise);
  }
}

TEST_CASE("no-rise: a tank that goes the wrong way is found as soon as one that stands", "[pump][dry]") {
  Pump pump = equipped(fill_pump());
  pump.dry_run.rise = RiseGuard{MetresPerSecond{0.004 / 60.0}, 3min};
  PumpBench bench{pump};
  bench.running();
  REQUIRE(bench.on());
  double level = 1.5;
  const Instant began = bench.memory.ordered_at;
  while (bench.on() && bench.now < began + 10min) {
    bench.inputs.tank = known(level -= 0.001);
    bench.scan();
  }
  CHECK(bench.now - began <= 3min + 2s);
}

TEST_CASE("rule 8: a flow switch that says flow before a start holds it", "[pump][rules][dry]") {
  Pump pump = equipped(fill_pump());
  PumpBench bench{pump};
  bench.rested();
  bench.moves_water = false;
  bench.inputs.load = takes(0.0);
  bench.inputs.flow = is_on(true);
  bench.inputs.tank = bench.asking();
  bench.scan_for(10min);
  CHECK_FALSE(bench.on());
  CHECK(bench.held_by(Cause::flow_stuck));
  CHECK_FALSE(bench.memory.lock_out.has_value());  // feedback and meter say that it stands
  bench.inputs.flow = is_on(false);
  bench.scan();
  CHECK(bench.on());
}

TEST_CASE("rule 12: stuck-on is also seen in the motor's power", "[pump][rules][dry]") {
  Pump pump = equipped(fill_pump());
  pump.feedback.reset();
  PumpBench bench{pump};
  bench.rested();
  bench.moves_water = false;
  bench.inputs.flow = is_on(false);
  bench.inputs.load = takes(700.0);
  bench.scan_for(4s);
  CHECK_FALSE(bench.memory.lock_out.has_value());
  bench.scan_for(2s);
  CHECK(bench.memory.lock_out == Cause::stuck_on);
  CHECK(bench.last.isolator == Order::off);
}

TEST_CASE("rule 12: a motor whose power was seen is not off because its meter is lost",
          "[pump][rules][dry]") {
  for (const bool has_meter : {true, false}) {
    Pump pump = equipped(fill_pump());
    pump.feedback.reset();
    if (!has_meter) pump.dry_run.power.reset();
    PumpBench bench{pump};
    bench.rested();
    bench.moves_water = false;
    bench.inputs.flow = is_on(true);
    bench.inputs.load = takes(700.0);
    bench.scan_for(20s);
    REQUIRE(bench.memory.lock_out == Cause::stuck_on);
    CHECK_FALSE(reset(bench.memory));
    bench.inputs.load = meter_lost();
    bench.inputs.flow = unreadable();
    bench.scan_for(20s);
    CHECK_FALSE(reset(bench.memory));
    bench.inputs.load = takes(0.0);
    bench.inputs.flow = is_on(false);
    bench.scan_for(20s);
    CHECK(reset(bench.memory));
  }
}

TEST_CASE("rule 12: and in the flow, where nothing shows that the motor stands", "[pump][rules][dry]") {
  Pump pump = equipped(fill_pump());
  pump.feedback.reset();
  pump.dry_run.power.reset();
  PumpBench bench{pump};
  bench.rested();
  bench.moves_water = false;
  bench.inputs.flow = is_on(true);
  bench.scan_for(9s);
  CHECK_FALSE(bench.memory.lock_out.has_value());
  bench.scan_for(3s);
  CHECK(bench.memory.lock_out == Cause::stuck_on);
}

TEST_CASE("rule 12: the isolator is closed before a start, and opens on stuck-on until that is reset",
          "[pump][rules][isolator]") {
  PumpBench bench{equipped(fill_pump())};
  CHECK(bench.scan().isolator == Order::on);
  bench.rested();
  bench.motor_obeys = false;
  bench.inputs.feedback = is_on(true);
  bench.scan_for(10s);
  REQUIRE(bench.memory.lock_out == Cause::stuck_on);
  CHECK(bench.last.isolator == Order::off);
  bench.inputs.feedback = is_on(false);
  bench.scan_for(10s);
  CHECK(bench.last.isolator == Order::off);
  CHECK(reset(bench.memory));
  bench.scan();
  CHECK(bench.last.isolator == Order::on);
  bench.motor_obeys = true;
  bench.inputs.tank = bench.asking();
  bench.scan();
  CHECK_FALSE(bench.on());  // not yet read to be closed
  bench.scan_for(5min);
  CHECK(bench.on());
}

TEST_CASE(
    "rule 12: an isolator that is not confirmed as ordered is missed, whether it should be open or closed",
    "[pump][rules][isolator]") {
  for (const bool stuck : {false, true}) {
    PumpBench bench{equipped(fill_pump())};
    bench.rested();
    CHECK_FALSE(bench.memory.isolator_lost);
    bench.isolator_obeys = false;
    if (stuck) {
      bench.motor_obeys = false;
      bench.inputs.feedback = is_on(true);
      while (bench.memory.isolator == Order::on)
        bench.scan();
    }
    // As it was ordered before: neither is it missed at once, nor does the last word of it count for ever.
    bench.inputs.isolator = ContactSample{bench.now, true, Reason::none};
    bench.scan_for(2s);
    CHECK_FALSE(bench.memory.isolator_lost);
    bench.scan_for(6s);
    CHECK(bench.memory.isolator_lost);
    bench.isolator_obeys = true;
    bench.scan();
    CHECK_FALSE(bench.memory.isolator_lost);
  }
}

TEST_CASE("when-unknown: a sump of unknown level is emptied for so long, so often", "[pump][drain]") {
  Pump pump = drain_pump();
  pump.when_unknown = BlindRuns{.run_for = 5min, .every = 1h};
  PumpBench bench{pump};
  bench.rested();
  bench.inputs.tank = unknown();
  Duration ran{0};
  for (int second = 0; second < 3 * 3600; ++second) {
    bench.scan();
    if (bench.on()) ran += 1s;
  }
  CHECK(ran >= 15min - 10s);
  CHECK(ran <= 15min + 10s);
  CHECK(bench.memory.start_count == 3);
  bench.inputs.receiver = known(2.3);
  bench.scan_for(2h);
  CHECK(bench.memory.start_count == 3);  // it yields to every trip
}

TEST_CASE("when-unknown: a level that is lost for less than a minute runs nothing dry", "[pump][drain]") {
  Pump pump = drain_pump();
  pump.when_unknown = BlindRuns{.run_for = 5min, .every = 1h};
  PumpBench bench{pump};
  bench.rested();
  for (int time = 0; time < 10; ++time) {
    bench.inputs.tank = unknown();
    bench.scan_for(59s);
    bench.inputs.tank = bench.at_rest();
    bench.scan_for(5min);
  }
  CHECK(bench.memory.start_count == 0);
}

TEST_CASE("when-unknown: without it an unknown level stops the pump", "[pump][drain]") {
  PumpBench bench{drain_pump()};
  bench.rested();
  bench.inputs.tank = unknown();
  bench.scan_for(3h);
  CHECK(bench.memory.start_count == 0);
}
