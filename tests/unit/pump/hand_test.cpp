// Hand, from a command and from the panel (rules 15 and 17).

#include <chrono>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;
using Kind = PumpEvent::Kind;

namespace {

PumpBench in_hand(Pump pump = equipped(fill_pump()), Mode before = Mode::automatic) {
  PumpBench bench{std::move(pump)};
  bench.rested();
  set_mode(bench.memory, before);
  bench.inputs.tank = bench.between();
  bench.scan();
  REQUIRE_FALSE(bench.on());
  REQUIRE(set_hand(bench.memory, bench.now + 15min));
  bench.scan();
  return bench;
}

}  // namespace

TEST_CASE("rule 17: hand starts whatever the start level and the windows say", "[pump][rules][hand]") {
  Pump pump = equipped(fill_pump());
  pump.allowed = {{60, 120}};
  PumpBench bench = in_hand(pump);
  CHECK(bench.on());
  bench.inputs.minute_of_day = 600;
  bench.scan_for(5min);
  CHECK(bench.on());
}

TEST_CASE("rule 17: hand ends by itself in the mode before it, and what it began ends with it",
          "[pump][rules][hand]") {
  for (const Mode before : {Mode::automatic, Mode::off}) {
    PumpBench bench = in_hand(equipped(fill_pump()), before);
    REQUIRE(bench.on());
    bench.story.clear();
    bench.scan_for(16min);
    CHECK_FALSE(bench.on());
    CHECK(bench.memory.mode == before);
    REQUIRE(bench.story.size() == 1);
    CHECK(bench.story.front().cause == (before == Mode::off ? Cause::mode_off : Cause::hand_ended));
  }
}

TEST_CASE("rule 17: at the end of hand a pump that its level asks for goes on", "[pump][rules][hand]") {
  PumpBench bench = in_hand();
  bench.inputs.tank = bench.asking();
  bench.scan_for(20min);
  CHECK(bench.on());
  CHECK(bench.memory.start_count == 1);
}

TEST_CASE("rule 17: hand stops at the stop level, and does not start again below it", "[pump][rules][hand]") {
  for (const Pump& pump : {equipped(fill_pump()), equipped(drain_pump())}) {
    PumpBench bench = in_hand(pump);
    REQUIRE(bench.on());
    bench.inputs.tank = bench.at_rest();
    bench.scan();
    CHECK_FALSE(bench.on());
    bench.inputs.tank = bench.between();
    bench.scan_for(10min);
    CHECK_FALSE(bench.on());
    bench.inputs.tank = bench.asking();
    bench.scan();
    CHECK(bench.on());
  }
}

TEST_CASE("rule 17: hand obeys trips, doubt, rest and starts", "[pump][rules][hand]") {
  using Strike = void (*)(PumpBench&);
  for (const Strike strike :
       {+[](PumpBench& b) { b.inputs.source = known(0.1); }, +[](PumpBench& b) { b.inputs.tank = unknown(); },
        +[](PumpBench& b) { b.inputs.float_trip = is_on(true); },
        +[](PumpBench& b) { b.inputs.is_out = true; },
        +[](PumpBench& b) { b.inputs.selector_off = is_on(true); },
        +[](PumpBench& b) { set_mode(b.memory, Mode::off); }}) {
    PumpBench bench = in_hand();
    REQUIRE(bench.on());
    strike(bench);
    bench.scan();
    CHECK_FALSE(bench.on());
  }
  Pump pump = equipped(fill_pump());
  pump.limits.starts_per_hour = 1;
  PumpBench spent = in_hand(pump);
  set_mode(spent.memory, Mode::off);
  spent.scan();
  set_hand(spent.memory, spent.now + 15min);
  spent.scan();
  CHECK(spent.held_by(Cause::rest));
  CHECK(spent.held_by(Cause::starts));
  spent.scan_for(10min);
  CHECK_FALSE(spent.on());
}

TEST_CASE("rule 17: over the network hand is not renewed, and undoes no off of a person",
          "[pump][rules][hand]") {
  PumpBench bench = in_hand();
  const Instant until = bench.memory.hand_until;
  CHECK_FALSE(set_hand(bench.memory, until + 1h, Origin::network));
  CHECK(bench.memory.hand_until == until);
  CHECK(set_hand(bench.memory, until + 1min));  // a person may

  PumpBench off{equipped(fill_pump())};
  set_mode(off.memory, Mode::off);
  CHECK_FALSE(set_hand(off.memory, off.now + 1h, Origin::network));
  CHECK(set_hand(off.memory, off.now + 1h));
  // What hand will end in is a person's off; the network may end hand, but not that.
  CHECK_FALSE(set_mode(off.memory, Mode::automatic, Origin::network));
  CHECK(set_mode(off.memory, Mode::off, Origin::network));
  CHECK_FALSE(set_mode(off.memory, Mode::automatic, Origin::network));
  CHECK(set_mode(off.memory, Mode::automatic));
}

TEST_CASE("rule 15: the panel's hand holds as long as it stands, and an off wins over it",
          "[pump][rules][hand]") {
  PumpBench bench{equipped(fill_pump())};
  bench.rested();
  bench.inputs.tank = bench.between();
  bench.inputs.selector_hand = is_on(true);
  bench.scan_for(1h);
  CHECK(bench.on());
  bench.inputs.selector_off = is_on(true);  // both at once: a selector that lies
  bench.scan();
  CHECK_FALSE(bench.on());
  bench.inputs.selector_off = is_on(false);
  bench.scan_for(5min);
  CHECK(bench.on());
  set_mode(bench.memory, Mode::off);
  bench.scan();
  CHECK_FALSE(bench.on());
  set_mode(bench.memory, Mode::automatic);
  bench.scan_for(5min);
  REQUIRE(bench.on());
  bench.story.clear();
  bench.inputs.selector_hand = is_on(false);
  bench.scan();
  CHECK_FALSE(bench.on());
  REQUIRE(bench.story.size() == 1);
  CHECK(bench.story.front().cause == Cause::hand_ended);
}
