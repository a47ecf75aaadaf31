// What a run moved, by the contents of its tank.

#include "stillwell/tank/run_volume.hpp"

#include <chrono>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

/// A tank, a pump that brings 1 L/s, and a house that draws what the test says, looked at once a second.
struct Bench {
  RunVolume volume;
  Instant now{1h};
  double litres = 2000.0;
  double draw = 0.0;   // L/s
  double noise = 0.0;  // of the reading, L
  support::Dice dice{11};

  std::optional<RunMoved> look(bool runs, bool alone = true, bool known = true) {
    now += 1s;
    litres += (runs ? 1.0 : 0.0) - draw;
    RunSight sight{.at = now, .runs = runs, .alone = alone};
    if (known) sight.contents = Litres{litres + noise * dice.between(-1.0, 1.0)};
    return volume.step(sight);
  }
  std::optional<RunMoved> look_for(Duration time, bool runs) {
    std::optional<RunMoved> last;
    for (const Instant end = now + time; now < end;) {
      if (const auto moved = look(runs)) last = moved;
    }
    return last;
  }
};

}  // namespace

TEST_CASE("run volume: a run of twenty minutes into a quiet tank is what the tank gained", "[tank][wear]") {
  Bench bench;
  CHECK_FALSE(bench.look_for(15min, false));
  CHECK_FALSE(bench.look_for(20min, true));
  const auto moved = bench.look(false);
  REQUIRE(moved);
  CHECK(moved->gained.value() == Approx(1200.0).margin(1.0));  // a scan at either end
  CHECK(moved->ran == 20min);
  CHECK_FALSE(bench.look_for(20min, false));  // told once
}

TEST_CASE("run volume: what the house draws before and during a run is left out", "[tank][wear]") {
  Bench bench;
  bench.draw = 0.2;
  bench.look_for(15min, false);
  bench.look_for(20min, true);
  const auto moved = bench.look(false);
  REQUIRE(moved);
  CHECK(moved->gained.value() == Approx(1200.0).margin(1.0));
}

TEST_CASE("run volume: only the last ten to twenty minutes before a run count", "[tank][wear]") {
  Bench bench;
  bench.draw = 0.5;
  bench.look_for(3h, false);
  bench.draw = 0.1;
  bench.look_for(20min, false);
  bench.look_for(10min, true);
  const auto moved = bench.look(false);
  REQUIRE(moved);
  CHECK(moved->gained.value() == Approx(600.0).margin(1.0));
}

TEST_CASE("run volume: a drain pump's tank loses, and the number is negative", "[tank][wear]") {
  Bench bench;
  bench.draw = -0.1;  // seepage
  bench.look_for(15min, false);
  bench.draw = 2.9;  // less 1 that the bench brings: the pump takes 2, the seepage goes on
  bench.look_for(10min, true);
  bench.draw = -0.1;
  const auto moved = bench.look(false);
  REQUIRE(moved);
  CHECK(moved->gained.value() == Approx(-1200.0).margin(3.0));
}

TEST_CASE("run volume: a run that cannot be known from end to end is none", "[tank][edges]") {
  Bench bench;
  SECTION("nobody saw the tank before it") {
    bench.look_for(9min, false);
    bench.look_for(20min, true);
  }
  SECTION("the level was lost on the way") {
    bench.look_for(15min, false);
    bench.look_for(10min, true);
    bench.look(true, true, false);
    bench.look_for(10min, true);
  }
  SECTION("another pump moved water in the tank") {
    bench.look_for(15min, false);
    bench.look_for(10min, true);
    bench.look(true, false);
    bench.look_for(10min, true);
  }
  SECTION("it was over within a minute") {
    bench.look_for(15min, false);
    bench.look_for(59s, true);
  }
  CHECK_FALSE(bench.look_for(5min, false));
}

TEST_CASE("run volume: noise of the level averages out over many runs", "[tank][property]") {
  Bench bench;
  bench.noise = 20.0;
  double gained = 0.0;
  double seconds = 0.0;
  for (int run = 0; run < 60; ++run) {
    bench.look_for(25min, false);
    bench.look_for(10min, true);
    const auto moved = bench.look(false);
    REQUIRE(moved);
    gained += moved->gained.value();
    seconds += seconds_of(moved->ran);
    bench.litres = 2000.0;
  }
  // Of one run: two ends of ± 20 L even, and a mean before it that carries the noise of two more over the
  // run: at most 11.5 · √(2 + 2 · (600/600)²) = 23 L of 600. Of sixty, 3 L; four times that is 2 %.
  CHECK(gained / seconds == Approx(1.0).epsilon(0.02));
}
