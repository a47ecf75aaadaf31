// What may be sent over a network is less than what may be said on the spot (rules 10 and 15).

#include <chrono>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;

namespace {

constexpr Origin kNetwork = Origin::network;

/// A pump that locks out again after each `most` of running.
PumpBench locked_out(Duration most) {
  Pump pump = fill_pump();
  pump.limits.run_at_most = most;
  pump.limits.starts_per_hour = 0;
  PumpBench bench{pump};
  bench.running();
  bench.scan_for(most);
  REQUIRE(bench.last.state == PumpState::locked_out);
  return bench;
}

/// From a reset to the next lock-out.
void run_into_lock_out(PumpBench& bench) {
  bench.inputs.tank = bench.asking();
  bench.scan_for(bench.rules.limits.off_at_least + bench.rules.limits.run_at_most + 5s);
  REQUIRE(bench.last.state == PumpState::locked_out);
}

}  // namespace

TEST_CASE("rule 15: what was switched off on the spot is switched on only there", "[pump][rules][network]") {
  PumpBench bench{fill_pump()};
  bench.rested();
  bench.inputs.tank = bench.asking();
  CHECK(set_mode(bench.memory, Mode::off));
  CHECK_FALSE(set_mode(bench.memory, Mode::automatic, kNetwork));
  bench.scan_for(1h);
  CHECK_FALSE(bench.on());
  CHECK(bench.held_by(Cause::mode_off));
  CHECK(set_mode(bench.memory, Mode::automatic));
  CHECK(bench.scan().order == Order::on);
}

TEST_CASE("rule 15: what was sent may be undone by what is sent, or on the spot", "[pump][rules][network]") {
  for (const Origin origin : {Origin::network, Origin::local}) {
    PumpBench bench{fill_pump()};
    bench.rested();
    bench.inputs.tank = bench.asking();
    REQUIRE(bench.scan().order == Order::on);
    CHECK(set_mode(bench.memory, Mode::off, kNetwork));
    CHECK(bench.scan().order == Order::off);  // off wins at once, wherever it comes from
    CHECK(set_mode(bench.memory, Mode::automatic, origin));
    CHECK(bench.memory.mode == Mode::automatic);
  }
}

TEST_CASE("rule 15: an off that is sent after a local one does not make it a sent one",
          "[pump][rules][network]") {
  PumpMemory memory;
  CHECK(set_mode(memory, Mode::off));
  CHECK(set_mode(memory, Mode::off, kNetwork));
  CHECK_FALSE(set_mode(memory, Mode::automatic, kNetwork));
  CHECK(memory.mode == Mode::off);
}

TEST_CASE("rule 15: a local off after a sent one makes it a local one", "[pump][rules][network]") {
  PumpMemory memory;
  CHECK(set_mode(memory, Mode::off, kNetwork));
  CHECK(set_mode(memory, Mode::off));
  CHECK_FALSE(set_mode(memory, Mode::automatic, kNetwork));
}

TEST_CASE("rule 15: a first mode of off was written on the spot", "[pump][rules][network]") {
  PumpMemory memory;
  memory.mode = Mode::off;
  CHECK_FALSE(set_mode(memory, Mode::automatic, kNetwork));
}

TEST_CASE("rule 10: the network resets once; the next lock-out is for a person", "[pump][rules][network]") {
  PumpBench bench = locked_out(5min);
  CHECK(reset(bench.memory, kNetwork));
  run_into_lock_out(bench);
  CHECK_FALSE(reset(bench.memory, kNetwork));
  bench.scan_for(10min);
  CHECK(bench.last.state == PumpState::locked_out);
  CHECK_FALSE(reset(bench.memory, kNetwork));
  CHECK(reset(bench.memory));
  run_into_lock_out(bench);
  CHECK(reset(bench.memory, kNetwork));  // a person was there since
}

TEST_CASE("rule 10: a pump that ran well for ten minutes may be reset over the network again",
          "[pump][rules][network]") {
  PumpBench bench = locked_out(15min);
  CHECK(reset(bench.memory, kNetwork));
  run_into_lock_out(bench);
  CHECK(reset(bench.memory, kNetwork));
}

TEST_CASE("rule 10: short runs that add up to ten minutes prove nothing", "[pump][rules][network]") {
  PumpBench bench = locked_out(9min + 50s);
  CHECK(reset(bench.memory, kNetwork));
  for (int run = 0; run < 3; ++run) {
    bench.running();
    bench.scan_for(4min);
    REQUIRE(bench.on());
    bench.inputs.tank = bench.at_rest();
    bench.scan();
    REQUIRE_FALSE(bench.on());
  }
  run_into_lock_out(bench);
  CHECK_FALSE(reset(bench.memory, kNetwork));
}
