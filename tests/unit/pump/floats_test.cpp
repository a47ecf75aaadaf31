// A tank without a gauge: two floats start and stop its pump, a third one says too high, and whatever they
// cannot mean stops it.

#include "stillwell/pump/concerns.hpp"

#include <array>
#include <chrono>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;

namespace {

Pump draining() {
  return by_floats(drain_pump());
}
Pump filling() {
  return by_floats(fill_pump());
}

/// A pump that runs, with the water between its floats.
PumpBench at_work(const Pump& pump) {
  PumpBench bench{pump};
  bench.rested();
  bench.stand_at(bench.fills() ? 0 : 2);
  bench.scan();
  REQUIRE(bench.on());
  bench.stand_at(1);
  bench.scan_for(2min);
  REQUIRE(bench.on());
  return bench;
}

}  // namespace

TEST_CASE("floats: each set of states is one sight of the water, or none", "[pump][floats]") {
  struct Row {
    bool lower, upper, high;
    FloatSight sight;
  };
  using enum FloatSight;
  constexpr std::array kRows{
      Row{false, false, false, below},     Row{true, false, false, between},
      Row{true, true, false, above},       Row{true, true, true, high},
      Row{false, true, false, contradict}, Row{false, false, true, contradict},
      Row{true, false, true, contradict},  Row{false, true, true, contradict},
  };
  for (const Row& row : kRows) {
    const FloatStates states{is_on(row.lower), is_on(row.upper), is_on(row.high)};
    CHECK(look(states) == row.sight);
    for (const int mute : {0, 1, 2}) {
      FloatStates partly = states;
      (mute == 0 ? partly.lower : mute == 1 ? partly.upper : *partly.high) = support::unreadable();
      CHECK(look(partly) == FloatSight::unreadable);
    }
  }
  CHECK(look({is_on(true), is_on(true)}) == above);
  CHECK(look({}) == FloatSight::unreadable);
}

TEST_CASE("floats: a drain pump starts at its upper float and stops when its lower one is free",
          "[pump][floats]") {
  PumpBench bench{draining()};
  bench.rested();
  for (const int count : {0, 1}) {
    bench.stand_at(count);
    CHECK(bench.scan().order == Order::off);
  }
  bench.stand_at(2);
  CHECK(bench.scan().order == Order::on);
  bench.stand_at(1);
  bench.scan_for(10min);
  CHECK(bench.on());
  bench.stand_at(0);
  bench.scan();
  CHECK_FALSE(bench.on());
  CHECK(bench.story.back().kind == PumpEvent::Kind::stop);
  CHECK_FALSE(bench.story.back().cause);
}

TEST_CASE("floats: a fill pump starts when its lower float is free and stops at its upper one",
          "[pump][floats]") {
  PumpBench bench{filling()};
  bench.rested();
  for (const int count : {2, 1}) {
    bench.stand_at(count);
    CHECK(bench.scan().order == Order::off);
  }
  bench.stand_at(0);
  CHECK(bench.scan().order == Order::on);
  bench.stand_at(1);
  bench.scan_for(10min);
  CHECK(bench.on());
  bench.stand_at(2);
  CHECK(bench.scan().order == Order::off);
}

TEST_CASE("rule 6: a float that stops overrides the minimum run", "[pump][floats][rules]") {
  Pump pump = draining();
  pump.limits.on_at_least = 10min;
  PumpBench bench{pump};
  bench.rested();
  bench.stand_at(2);
  bench.scan();
  bench.stand_at(0);
  CHECK(bench.scan().order == Order::off);
}

TEST_CASE("rule 7: water at the high float trips a fill pump, whatever the other floats say",
          "[pump][floats][rules]") {
  for (const bool lower : {true, false}) {
    for (const bool upper : {true, false}) {
      PumpBench bench = at_work(filling());
      bench.inputs.floats = FloatStates{is_on(lower), is_on(upper), is_on(true)};
      bench.scan();
      CHECK_FALSE(bench.on());
      CHECK(bench.held_by(Cause::float_switch));
      CHECK(bench.last.state == PumpState::tripped);
    }
  }
}

TEST_CASE("floats: water at the high float does not stop the pump that takes it away", "[pump][floats]") {
  PumpBench bench = at_work(draining());
  bench.stand_at(3);
  bench.scan_for(1min);
  CHECK(bench.on());
  CHECK_FALSE(concerns(Cause::float_switch, by_floats([] {
                         Pump pump = drain_pump();
                         pump.float_trip.reset();
                         return pump;
                       }())));
}

TEST_CASE("rule 2: floats that contradict each other make the tank unknown and stop the pump",
          "[pump][floats][rules]") {
  for (const Pump& pump : {draining(), filling()}) {
    PumpBench bench = at_work(pump);
    bench.inputs.floats = FloatStates{is_on(false), is_on(true), is_on(false)};
    bench.scan();
    CHECK_FALSE(bench.on());
    CHECK(bench.memory.first_out == Cause::tank_unknown);
    CHECK(bench.held_by(Cause::tank_unknown));
    // Nothing is inferred from what was seen before: between the floats it waits to be asked again.
    bench.stand_at(1);
    bench.scan_for(10min);
    CHECK_FALSE(bench.on());
  }
}

TEST_CASE("rule 2: a float that cannot be read stops the pump", "[pump][floats][rules]") {
  for (const Pump& pump : {draining(), filling()}) {
    for (const bool upper : {true, false}) {
      PumpBench bench = at_work(pump);
      (upper ? bench.inputs.floats->upper : bench.inputs.floats->lower) = unreadable();
      bench.scan();
      CHECK_FALSE(bench.on());
      CHECK(bench.memory.first_out == Cause::switch_unknown);
      CHECK_FALSE(bench.held_by(Cause::tank_unknown));
    }
    PumpBench bench = at_work(pump);
    bench.inputs.floats.reset();
    CHECK(bench.scan().order == Order::off);
  }
}

TEST_CASE("rule 2: a high float that cannot be read stops the pump that it trips, and no other",
          "[pump][floats][rules]") {
  PumpBench drain = at_work(draining());
  drain.inputs.floats->high = unreadable();
  drain.scan_for(1min);
  CHECK(drain.on());
  PumpBench fill = at_work(filling());
  fill.inputs.floats->high = unreadable();
  CHECK(fill.scan().order == Order::off);
  CHECK(fill.held_by(Cause::switch_unknown));
}

TEST_CASE("rule 17: in hand the floats that stop it do, and once", "[pump][floats][rules]") {
  PumpBench bench{draining()};
  bench.rested();
  bench.stand_at(1);
  set_hand(bench.memory, bench.now + 1h);
  CHECK(bench.scan().order == Order::on);
  bench.stand_at(0);
  CHECK(bench.scan().order == Order::off);
  bench.stand_at(1);
  bench.scan_for(10min);
  CHECK_FALSE(bench.on());
}

TEST_CASE("floats: a sump that must not flood is emptied blind while its floats say nothing certain",
          "[pump][floats]") {
  for (const bool mute : {true, false}) {
    Pump pump = draining();
    pump.when_unknown = BlindRuns{.run_for = 2min, .every = 10min};
    PumpBench bench{pump};
    bench.rested();
    bench.inputs.floats->upper = mute ? unreadable() : is_on(true);
    bench.scan_for(50s);
    CHECK_FALSE(bench.on());
    bench.scan_for(20s);
    CHECK(bench.on());
    bench.scan_for(2min);
    CHECK_FALSE(bench.on());
  }
}

TEST_CASE("rule 8: a suction that is kept by floats is guarded by the pump's own float", "[pump][floats]") {
  Pump pump = fill_pump();
  pump.source_is_measured = false;
  pump.source_below.reset();
  PumpBench bench{pump};
  bench.inputs.source = Level{};
  bench.rested();
  bench.inputs.tank = bench.asking();
  CHECK(bench.scan().order == Order::on);
  bench.inputs.source_float = is_on(true);
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.memory.first_out == Cause::source_float);
  CHECK_FALSE(concerns(Cause::source_unknown, pump));
}
