// What a motor has used, from what its meter showed.

#include "stillwell/reading/energy.hpp"

#include <chrono>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Duration kStaleAfter = 3s;

struct Bench {
  EnergyMemory memory;
  Instant now{1h};

  void shows(double watts, Duration later = 1s) {
    now += later;
    again(watts);
  }
  /// A scan that finds no newer reading.
  void again(double watts) { count_energy(memory, {MotorLoad{watts}, Reason::none, now}, kStaleAfter); }
  void is_lost() { count_energy(memory, {{}, Reason::stale, now}, kStaleAfter); }
  [[nodiscard]] double kilowatt_hours() const { return memory.used / kKilowattHour; }
};

}  // namespace

TEST_CASE("energy: a kilowatt for an hour is a kilowatt-hour", "[reading][energy]") {
  Bench bench;
  for (int second = 0; second <= 3600; ++second)
    bench.shows(1000.0);
  CHECK(bench.kilowatt_hours() == Approx(1.0));
}

TEST_CASE("energy: between two readings their mean counts", "[reading][energy]") {
  Bench bench;
  bench.shows(0.0);
  bench.shows(900.0, 2s);
  CHECK(bench.memory.used.value() == Approx(900.0));  // (0 W + 900 W) / 2 for 2 s
}

TEST_CASE("energy: the first reading alone is no energy", "[reading][energy]") {
  Bench bench;
  bench.shows(900.0);
  CHECK(bench.memory.used == Joules{0.0});
}

TEST_CASE("energy: a reading counts once, however often it is looked at", "[reading][energy]") {
  Bench bench;
  bench.shows(900.0);
  bench.shows(900.0);
  for (int scan = 0; scan < 10; ++scan)
    bench.again(900.0);
  CHECK(bench.memory.used.value() == Approx(900.0));
}

TEST_CASE("energy: a gap in the readings counts nothing", "[reading][energy]") {
  Bench bench;
  bench.shows(900.0);
  bench.is_lost();
  bench.shows(900.0, 2s);
  CHECK(bench.memory.used == Joules{0.0});
  bench.shows(900.0);
  CHECK(bench.memory.used.value() == Approx(900.0));
}

TEST_CASE("energy: readings too far apart have a gap between them, also where no scan saw it",
          "[reading][energy]") {
  Bench bench;
  bench.shows(900.0);
  bench.shows(900.0, kStaleAfter + 1ms);
  CHECK(bench.memory.used == Joules{0.0});
  bench.shows(900.0, kStaleAfter);
  CHECK(bench.memory.used.value() == Approx(2700.0));
}
