// Rest, minimum and longest run, starts per hour, power-up and windows: every limit from both sides. Delays
// are monotonic; only windows know the time of day.

#include <chrono>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;
using Kind = PumpEvent::Kind;

namespace {

/// Only the limit in question.
Pump with(PumpLimits limits) {
  Pump pump = fill_pump();
  pump.limits = limits;
  return pump;
}

Pump with_window(const Pump& pump, std::vector<DayWindow> allowed) {
  Pump windowed = pump;
  windowed.limits = {.on_at_least = 60s};
  windowed.allowed = std::move(allowed);
  return windowed;
}

constexpr int clock_at(int hours, int minutes) {
  return hours * 60 + minutes;
}

/// Whether a pump with nothing else against it starts at this time of day.
bool starts_at(const Pump& pump, std::optional<int> minute) {
  PumpBench bench{pump};
  bench.scan();
  bench.inputs.tank = bench.asking();
  bench.inputs.minute_of_day = minute;
  return bench.scan().order == Order::on;
}

}  // namespace

TEST_CASE("rest: a pump stays off for off_at_least after a stop", "[pump][time]") {
  PumpBench bench{with({.off_at_least = 3min})};
  bench.running();
  bench.inputs.tank = bench.at_rest();
  bench.scan();
  bench.inputs.tank = bench.asking();
  CHECK(bench.scan(3min - 1ns).order == Order::off);
  CHECK(bench.held_by(Cause::rest));
  CHECK(bench.last.state == PumpState::waiting);
  CHECK(bench.scan(1ns).order == Order::on);
}

TEST_CASE("rule 22: at start-up the rest begins anew in full", "[pump][rules]") {
  PumpBench bench{with({.off_at_least = 3min})};
  bench.inputs.tank = bench.asking();
  bench.scan();
  CHECK(bench.scan(3min - 1ns).order == Order::off);
  CHECK(bench.held_by(Cause::rest));
  CHECK(bench.scan(1ns).order == Order::on);
}

TEST_CASE("power-up: nothing starts before after_power_up", "[pump][time]") {
  PumpBench bench{with({.after_power_up = 30s})};
  bench.inputs.tank = bench.asking();
  bench.scan();
  CHECK(bench.scan(30s - 1ns).order == Order::off);
  CHECK(bench.held_by(Cause::power_up));
  CHECK(bench.scan(1ns).order == Order::on);
}

TEST_CASE("starts: no more than starts_per_hour in any hour that rolls by", "[pump][time]") {
  PumpBench bench{with({.starts_per_hour = 3})};
  bench.scan();
  std::vector<Instant> starts;
  while (starts.size() < 10 && bench.now < Instant{1h} + 24h) {
    bench.inputs.tank = bench.asking();
    if (bench.scan(10s).order == Order::on) starts.push_back(bench.now);
    bench.inputs.tank = bench.at_rest();
    bench.scan(10s);
  }
  REQUIRE(starts.size() == 10);
  for (std::size_t at = 3; at < starts.size(); ++at) {
    CHECK(starts[at] - starts[at - 3] >= 1h);
    CHECK(starts[at] - starts[at - 3] <= 1h + 40s);  // and no longer held than that
  }
}

TEST_CASE("starts: a pump whose starts are spent waits, and says so", "[pump][time]") {
  PumpBench bench{with({.starts_per_hour = 1})};
  bench.running();
  bench.inputs.tank = bench.at_rest();
  bench.scan();
  bench.inputs.tank = bench.asking();
  bench.scan();
  CHECK(bench.held_by(Cause::starts));
  CHECK(bench.last.state == PumpState::waiting);
}

TEST_CASE("over-time: at run_at_most it may run, past it it is locked out", "[pump][time]") {
  PumpBench bench{with({.run_at_most = 10min})};
  bench.scan();
  bench.inputs.tank = bench.asking();
  bench.scan();
  const Instant started = bench.now;
  bench.scan_for(10min);
  CHECK(bench.now - started == 10min);
  CHECK(bench.on());
  CHECK(bench.scan(1ns).order == Order::off);
  CHECK(bench.last.state == PumpState::locked_out);
  REQUIRE(bench.last.events.size() == 1);
  CHECK(bench.last.events.front().kind == Kind::lock_out);
  CHECK(bench.last.events.front().cause == Cause::over_time);
}

TEST_CASE("rule 6: only the end of a window waits for the minimum run", "[pump][rules]") {
  PumpBench bench{with_window(fill_pump(), {{clock_at(22, 0), clock_at(6, 0)}})};
  bench.inputs.minute_of_day = clock_at(5, 59);
  bench.scan();
  bench.inputs.tank = bench.asking();
  REQUIRE(bench.scan().order == Order::on);
  bench.inputs.minute_of_day = clock_at(6, 0);
  CHECK(bench.scan(60s - 1ns).order == Order::on);
  CHECK(bench.scan(1ns).order == Order::off);
  REQUIRE(bench.last.events.size() == 1);
  CHECK(bench.last.events.front().kind == Kind::stop);
  CHECK(bench.last.events.front().cause == Cause::window);
}

TEST_CASE("rule 6: a trip, a doubt or an off behind an ended window does not wait for it", "[pump][rules]") {
  for (int what = 0; what < 3; ++what) {
    PumpBench bench{with_window(fill_pump(), {{clock_at(22, 0), clock_at(6, 0)}})};
    bench.inputs.minute_of_day = clock_at(5, 59);
    bench.scan();
    bench.inputs.tank = bench.asking();
    REQUIRE(bench.scan().order == Order::on);
    bench.inputs.minute_of_day = clock_at(6, 0);
    REQUIRE(bench.scan().order == Order::on);
    if (what == 0) bench.inputs.source = known(0.1);
    if (what == 1) bench.inputs.tank = unknown();
    if (what == 2) set_mode(bench.memory, Mode::off);
    CHECK(bench.scan().order == Order::off);
  }
}

TEST_CASE("window: it opens at its first minute and closes at its last", "[pump][time]") {
  const Pump pump = with_window(fill_pump(), {{clock_at(11, 0), clock_at(15, 0)}});
  CHECK_FALSE(starts_at(pump, clock_at(10, 59)));
  CHECK(starts_at(pump, clock_at(11, 0)));
  CHECK(starts_at(pump, clock_at(14, 59)));
  CHECK_FALSE(starts_at(pump, clock_at(15, 0)));
}

TEST_CASE("window: one across midnight is open on both sides of it", "[pump][time]") {
  const Pump pump = with_window(fill_pump(), {{clock_at(22, 0), clock_at(6, 0)}});
  CHECK_FALSE(starts_at(pump, clock_at(21, 59)));
  CHECK(starts_at(pump, clock_at(22, 0)));
  CHECK(starts_at(pump, clock_at(23, 59)));
  CHECK(starts_at(pump, clock_at(0, 0)));
  CHECK(starts_at(pump, clock_at(5, 59)));
  CHECK_FALSE(starts_at(pump, clock_at(6, 0)));
}

TEST_CASE("window: any of several will do, and none means always", "[pump][time]") {
  const Pump pump =
      with_window(fill_pump(), {{clock_at(22, 0), clock_at(6, 0)}, {clock_at(11, 0), clock_at(15, 0)}});
  CHECK(starts_at(pump, clock_at(12, 0)));
  CHECK(starts_at(pump, clock_at(23, 0)));
  CHECK_FALSE(starts_at(pump, clock_at(8, 0)));
  CHECK(starts_at(with_window(fill_pump(), {}), clock_at(8, 0)));
}

TEST_CASE("rule 21: while the clock is not trusted windows are closed, except for drain pumps",
          "[pump][rules]") {
  const std::vector<DayWindow> all_day{{0, 24 * 60}};
  CHECK_FALSE(starts_at(with_window(fill_pump(), all_day), std::nullopt));
  CHECK(starts_at(with_window(drain_pump(), all_day), std::nullopt));
  CHECK(starts_at(with_window(fill_pump(), {}), std::nullopt));
}

TEST_CASE("rule 21: a drain pump obeys its window once the clock is trusted", "[pump][rules]") {
  const Pump pump = with_window(drain_pump(), {{clock_at(11, 0), clock_at(15, 0)}});
  CHECK_FALSE(starts_at(pump, clock_at(10, 0)));
  CHECK(starts_at(pump, clock_at(11, 0)));
}

TEST_CASE("rule 21: a step of the wall clock changes no delay", "[pump][rules]") {
  PumpBench still{fill_pump()};
  PumpBench stepped{fill_pump()};
  for (PumpBench* bench : {&still, &stepped})
    bench->inputs.tank = bench->asking();
  for (int second = 0; second < 2000; ++second) {
    still.inputs.minute_of_day = 700;
    stepped.inputs.minute_of_day = (second * 397) % 1440;
    if (second == 900) still.inputs.tank = stepped.inputs.tank = still.at_rest();
    if (second == 901) still.inputs.tank = stepped.inputs.tank = still.asking();
    REQUIRE(still.scan().order == stepped.scan().order);
  }
  CHECK(still.memory.start_count == 2);
}

TEST_CASE("rule 21: a clock that was just set starts nothing, and stops nothing that runs", "[pump][rules]") {
  PumpBench bench{with_window(fill_pump(), {{clock_at(11, 0), clock_at(15, 0)}})};
  bench.inputs.minute_of_day = clock_at(10, 0);
  bench.rested();
  bench.inputs.tank = bench.asking();
  bench.inputs.minute_of_day = clock_at(12, 0);
  bench.inputs.clock_stepped = true;
  bench.scan_for(50s);
  CHECK_FALSE(bench.on());
  CHECK(bench.held_by(Cause::window));
  bench.inputs.clock_stepped = false;
  bench.scan();
  CHECK(bench.on());
  bench.inputs.clock_stepped = true;
  bench.scan_for(5min);
  CHECK(bench.on());
}

TEST_CASE("run time: it adds up over runs and counts starts", "[pump][time]") {
  PumpBench bench{with({})};
  bench.scan();
  for (int run = 0; run < 3; ++run) {
    bench.inputs.tank = bench.asking();
    REQUIRE(bench.scan().order == Order::on);
    bench.scan_for(99s);
    bench.inputs.tank = bench.at_rest();
    bench.scan();
  }
  CHECK(bench.memory.run_time == 300s);
  CHECK(bench.memory.start_count == 3);
}
