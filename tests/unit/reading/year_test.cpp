// A year of readings with 2 % of spikes, 5 % of dropouts, air that warms and cools, spiders and cut cables:
// no level is believed that is wrong, and hardly a good one is refused. --all looks at ten years of other
// weather.

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <iostream>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/roof_sensor.hpp"
#include "support/trust_bench.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::RoofSensor;

namespace {

constexpr Duration kEvery = 10s;
constexpr double kTooFar = 0.03;  // m outside the declared uncertainty

struct Tally {
  long good = 0;
  long good_accepted = 0;
  long wrong = 0;
  double worst = 0.0;  ///< m outside the declared uncertainty, of an accepted reading

  void count(const RoofSensor::Reading& reading, const Level& level, Instant now) {
    const bool accepted = level.usable() && level.at == now;
    good += reading.is_good ? 1 : 0;
    good_accepted += reading.is_good && accepted ? 1 : 0;
    if (!accepted) return;
    const double off = std::abs(level.level->value() - reading.truth) - level.uncertainty.value();
    worst = std::max(worst, off);
    wrong += off > kTooFar ? 1 : 0;
  }
  [[nodiscard]] double share() const {
    return 100.0 * static_cast<double>(good_accepted) / static_cast<double>(good);
  }
};

/// The water moves as 60 L/min, half as much again at most, and 40 L/min of draw let it, on 4.52 m². Nothing
/// fills the tank but the pump.
Fastest fastest(bool pumping) {
  return {MetresPerSecond{pumping ? 90.0 / 60.0 / 4524.0 : 0.0}, MetresPerSecond{40.0 / 60.0 / 4524.0}};
}

support::TrustBench on_the_roof() {
  support::TrustBench bench;
  bench.rules.stale_after = 3 * kEvery;
  bench.rules.correction = {
      .assumes = Celsius{RoofSensor::kAssumes}, .air = {Celsius{-10.0}, Celsius{50.0}}, .water = {}};
  const Metres noise{0.005};
  bench.rules.settle.noise = noise;
  bench.rules.settle.spike_floor = spike_floor(7, Metres{fastest(true).rise.value() * 10.0}, noise);
  return bench;
}

Tally live_through(std::uint64_t seed, double days, bool tells_air) {
  support::TrustBench bench = on_the_roof();
  RoofSensor sensor{seed};
  Tally tally;
  bool known = false;
  const long readings = std::lround(days * 86400.0 / RoofSensor::kEvery);
  for (long at = 0; at < readings; ++at) {
    const RoofSensor::Reading reading = sensor.next(known);
    bench.water.fastest = fastest(sensor.pumping());
    bench.now += kEvery;
    GaugeSample sample{.at = bench.now, .fault = Reason::no_answer};
    if (reading.distance) {
      sample.value = Metres{*reading.distance};
      sample.fault = Reason::none;
      if (tells_air) sample.air = Celsius{reading.air};
    }
    bench.shown = sample;
    const Level level = bench.look();
    known = level.usable();
    tally.count(reading, level, bench.now);
  }
  return tally;
}

/// One year, ten with the full campaigns, six weeks where each takes many times as long.
void expect_trustworthy(std::uint64_t seed, bool tells_air) {
  const std::uint64_t years = std::getenv("STILLWELL_FULL") == nullptr ? 1 : 10;
  for (std::uint64_t year = seed; year < seed + years; ++year) {
    const Tally tally = live_through(year, support::is_brief() ? 42.0 : 365.0, tells_air);
    std::cout << "a year on the roof, seed " << year << ", air " << (tells_air ? "told" : "not told") << ": "
              << tally.wrong << " wrong readings believed (worst " << 1000.0 * tally.worst
              << " mm outside the declared uncertainty), " << tally.share() << " % of " << tally.good
              << " good ones believed\n";
    CHECK(tally.wrong == 0);
    CHECK(tally.share() >= 99.0);
  }
}

}  // namespace

TEST_CASE("year: a gauge that tells its air is never wrong by 3 cm, and believed when it is right",
          "[reading][year]") {
  expect_trustworthy(support::seed_or(2026), true);
}

TEST_CASE("year: a gauge that does not is never wrong by more than it declares", "[reading][year]") {
  expect_trustworthy(support::seed_or(2046), false);
}
