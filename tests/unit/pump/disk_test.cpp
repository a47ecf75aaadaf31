// Rule 23: a start is on the disk before the contact closes.

#include "stillwell/site/kept.hpp"

#include "support/bench_pump.hpp"
#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;

TEST_CASE("rule 23: a pump does not start before the disk has its start", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rested();
  bench.inputs.tank = bench.asking();
  bench.inputs.durable = bench.now;
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.last.state == PumpState::starting);
  CHECK(bench.last.events.empty());
  const Instant noted = bench.now;
  bench.scan_for(3s);
  CHECK(bench.last.order == Order::off);
  bench.inputs.durable = noted - 1ns;
  CHECK(bench.scan().order == Order::off);
  bench.inputs.durable = noted;
  CHECK(bench.scan().order == Order::on);
  CHECK(bench.memory.starts.size() == 1);
  CHECK(bench.memory.start_count == 1);
}

TEST_CASE("rule 23: where nothing is kept, nothing is waited for", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rested();
  bench.inputs.tank = bench.asking();
  CHECK(bench.scan().order == Order::on);
}

TEST_CASE("rule 23: a start that something forbids meanwhile is noted anew when it is allowed again",
          "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rested();
  bench.inputs.durable = bench.now;
  bench.inputs.tank = bench.asking();
  bench.scan();
  bench.inputs.source = known(0.2);
  bench.scan();
  CHECK_FALSE(bench.memory.noted_start);
  CHECK(bench.memory.starts.empty());
  bench.inputs.source = known(1.5);
  bench.inputs.durable = bench.now;  // the disk has the first note, and not the second
  CHECK(bench.scan().order == Order::off);
  bench.inputs.durable = bench.now;
  CHECK(bench.scan().order == Order::on);
}

TEST_CASE("rule 23: a power cut between the note and the start counts it as made", "[pump][site][rules]") {
  const Model model = orchard_model();
  Memory memory = remember_nothing(model);
  const Instant now = kSomeInstant;
  memory.pumps[0].starts = {now - 10min};
  memory.pumps[0].start_count = 5;
  memory.pumps[0].noted_start = now;
  const Kept noted = keep(model, memory, now);
  CHECK(noted.pumps[0].recent_starts == 2);
  CHECK(noted.pumps[0].start_count == 6);
  memory.pumps[0].noted_start.reset();
  CHECK_FALSE(noted.guards_as(keep(model, memory, now)));
  Memory after = remember_nothing(model);
  restore(model, noted, after, now + 1min, 1min);
  CHECK(after.pumps[0].starts.size() == 2);
  CHECK_FALSE(after.pumps[0].noted_start);
}

TEST_CASE("rule 23: with a disk that refuses at the start all starts of the hour are spent",
          "[pump][site][rules]") {
  Model model = orchard_model();
  Memory memory = remember_nothing(model);
  model.pumps[0].limits.starts_per_hour = 6;
  model.pumps[1].limits.starts_per_hour = 0;
  memory.pumps[0].starts = {kSomeInstant};
  spend_starts(model, memory, kSomeInstant + 1min);
  CHECK(memory.pumps[0].starts == std::vector<Instant>(6, kSomeInstant + 1min));
  CHECK(memory.pumps[1].starts.empty());
}
