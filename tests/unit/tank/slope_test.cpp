// Rates of level with their spread, and the time to a target.

#include "stillwell/tank/slope.hpp"

#include <chrono>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Instant kStart{1h};
constexpr double kMillimetreAMinute = 0.001 / 60.0;  // m/s

LevelRate rate_of(double slope, double low, double high) {
  return {.slope = MetresPerSecond{slope},
          .low = MetresPerSecond{low},
          .high = MetresPerSecond{high},
          .points = 60,
          .span = 10min};
}

/// A level read once a second; `noise` is the half width of an even spread.
RateWindow watched(int seconds, double slope, double noise, support::Dice& dice) {
  RateWindow window{10min};
  for (int second = 0; second <= seconds; ++second)
    window.add(
        {Metres{1.0 + slope * second + dice.between(-noise, noise)}, kStart + std::chrono::seconds{second}});
  return window;
}

}  // namespace

TEST_CASE("rate: a steady fill is known exactly, over the window and no longer", "[tank][rate]") {
  support::Dice dice{1};
  const double slope = 3.0 * kMillimetreAMinute;
  const auto rate = watched(3600, slope, 0.0, dice).rate(kStart + 1h);
  REQUIRE(rate);
  CHECK(rate->slope.value() == Approx(slope).epsilon(1e-9));
  CHECK(rate->is_meaningful());
  CHECK(rate->points == 24);
  CHECK(rate->span <= 10min);
  CHECK(rate->span > 9min);
}

TEST_CASE("rate: the latest window counts, not what was before", "[tank][rate]") {
  RateWindow window{10min};
  for (int second = 0; second <= 7200; ++second) {
    const double level = second <= 3600 ? 0.001 * second : 3.6 - 0.0002 * (second - 3600);
    window.add({Metres{level}, kStart + std::chrono::seconds{second}});
  }
  const auto rate = window.rate(kStart + 2h);
  REQUIRE(rate);
  CHECK(rate->slope.value() == Approx(-0.0002).epsilon(1e-6));
}

TEST_CASE("rate: still water with noise is not called moving more often than 1 in 20", "[tank][property]") {
  const std::uint64_t seed = support::seed_or(600);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  int called_moving = 0;
  int held = 0;
  constexpr int kRounds = 60;
  const double slope = 3.0 * kMillimetreAMinute;
  for (int round = 0; round < kRounds; ++round) {
    if (watched(660, 0.0, 0.004, dice).rate(kStart + 11min)->is_meaningful()) ++called_moving;
    const auto rate = watched(660, slope, 0.004, dice).rate(kStart + 11min);
    REQUIRE(rate->is_meaningful());
    if (rate->low.value() <= slope && slope <= rate->high.value()) ++held;
  }
  // 5 % of 60, and four standard deviations of that count.
  CHECK(called_moving <= 3 + 7);
  CHECK(held >= 57 - 7);
}

TEST_CASE("rate: one reading a minute makes a rate too", "[tank][rate]") {
  RateWindow window{1h};
  for (int minute = 0; minute <= 90; ++minute)
    window.add({Metres{2.0 - 0.002 * minute}, kStart + std::chrono::minutes{minute}});
  const auto rate = window.rate(kStart + 90min);
  REQUIRE(rate);
  CHECK(rate->slope.value() == Approx(-0.002 / 60.0).epsilon(1e-9));
  CHECK(rate->is_meaningful());
}

TEST_CASE("rate: is gone when readings stay away, and not told from before the pause", "[tank][rate]") {
  support::Dice dice{2};
  RateWindow window = watched(1200, 0.0001, 0.0, dice);
  const Instant last = kStart + 1200s;
  CHECK(window.rate(last + 150s));
  CHECK_FALSE(window.rate(last + 151s));
  window.add({Metres{1.0}, last + 1h});
  CHECK_FALSE(window.rate(last + 1h));
}

TEST_CASE("rate: after a long pause it is told from what came after", "[tank][rate]") {
  support::Dice dice{4};
  RateWindow window = watched(1200, -0.001, 0.0, dice);
  const Instant back = kStart + 1h;
  for (int second = 0; second <= 90; ++second)
    window.add({Metres{1.0 + 0.0005 * second}, back + std::chrono::seconds{second}});
  const auto rate = window.rate(back + 90s);
  REQUIRE(rate);
  CHECK(rate->slope.value() == Approx(0.0005).epsilon(1e-6));
  CHECK(rate->span < 90s);
}

TEST_CASE("rate: too few points are not meaningful however straight", "[tank][edges]") {
  LevelRate rate = rate_of(0.001, 0.0009, 0.0011);
  rate.points = 5;
  CHECK(rate.is_meaningful());
  rate.points = 4;
  CHECK_FALSE(rate.is_meaningful());
  RateWindow window{10min};
  CHECK_FALSE(window.rate(kStart));
  window.add({Metres{1.0}, kStart});
  window.add({Metres{1.1}, kStart + 20s});
  CHECK_FALSE(window.rate(kStart + 20s));
}

TEST_CASE("rate: an interval that touches zero does not tell moving from still", "[tank][edges]") {
  CHECK(rate_of(0.001, 1e-12, 0.002).is_meaningful());
  CHECK_FALSE(rate_of(0.001, 0.0, 0.002).is_meaningful());
  CHECK(rate_of(-0.001, -0.002, -1e-12).is_meaningful());
  CHECK_FALSE(rate_of(-0.001, -0.002, 0.0).is_meaningful());
  const double none = std::nan("");
  CHECK_FALSE(rate_of(none, none, none).is_meaningful());
}

TEST_CASE("rate: a reading that is none, or comes again, changes nothing", "[tank][edges]") {
  support::Dice dice{3};
  RateWindow window = watched(600, 0.0001, 0.0, dice);
  const auto before = window.rate(kStart + 10min);
  window.add({Metres{std::nan("")}, kStart + 601s});
  window.add({Metres{50.0}, kStart + 600s});
  window.add({Metres{50.0}, kStart + 1s});
  const auto after = window.rate(kStart + 10min);
  REQUIRE(before);
  REQUIRE(after);
  CHECK(before->slope == after->slope);
}

TEST_CASE("rate: the window that the noise asks for resolves the rate it was asked for", "[tank][property]") {
  const std::uint64_t seed = support::seed_or(12000);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  const double slope = 2.0 * kMillimetreAMinute;
  const double half_width = 0.006;
  const Metres noise{half_width / std::sqrt(3.0)};
  const Duration length = window_for(noise, 1s, MetresPerSecond{slope});
  INFO("window " << seconds_of(length) << " s");
  double square = 0.0;
  constexpr int kRounds = 200;
  for (int round = 0; round < kRounds; ++round) {
    RateWindow window{length};
    const int seconds = static_cast<int>(seconds_of(length)) + 60;
    for (int second = 0; second <= seconds; ++second)
      window.add(
          {Metres{1.0 + dice.between(-half_width, half_width)}, kStart + std::chrono::seconds{second}});
    const double error = window.rate(kStart + std::chrono::seconds{seconds})->slope.value();
    square += error * error;
  }
  const double standard_error = std::sqrt(square / kRounds);
  INFO("standard error " << standard_error << ", half of the rate " << slope / 2.0);
  // The median of slopes needs 5 % more than least squares; 200 rounds know a deviation to 5 %.
  CHECK(standard_error < slope / 2.0 * 1.25);
  CHECK(standard_error > slope / 2.0 * 0.8);
}

TEST_CASE("rate: the window stays between a minute and six hours", "[tank][edges]") {
  CHECK(window_for(Metres{0.0}, 1s, MetresPerSecond{0.001}) == 1min);
  CHECK(window_for(Metres{0.01}, 1s, MetresPerSecond{0.0}) == 6h);
  CHECK(window_for(Metres{std::nan("")}, 1s, MetresPerSecond{0.001}) == 1min);
}

TEST_CASE("time to a target: is the gap over the rate, with the interval's ends", "[tank][time-to]") {
  const auto full = time_to(Metres{2.0}, Metres{1.4}, rate_of(0.001, 0.0008, 0.0012));
  REQUIRE(full);
  CHECK(seconds_of(full->expected) == Approx(600.0));
  CHECK(seconds_of(full->soonest) == Approx(500.0));
  CHECK(seconds_of(full->latest) == Approx(750.0));
  const auto empty = time_to(Metres{0.2}, Metres{1.4}, rate_of(-0.001, -0.0012, -0.0008));
  REQUIRE(empty);
  CHECK(seconds_of(empty->expected) == Approx(1200.0));
  CHECK(empty->soonest < empty->expected);
  CHECK(empty->expected < empty->latest);
}

TEST_CASE("time to a target: is absent when it means nothing", "[tank][time-to]") {
  const LevelRate rising = rate_of(0.001, 0.0008, 0.0012);
  CHECK_FALSE(time_to(Metres{0.5}, Metres{1.0}, rising));                          // leads away
  CHECK_FALSE(time_to(Metres{2.0}, Metres{1.0}, rate_of(0.001, -0.0001, 0.002)));  // may be still
  CHECK_FALSE(time_to(Metres{2.0}, Metres{1.0}, rate_of(1e-6, 1e-9, 2e-6)));       // may take years
  CHECK_FALSE(time_to(Metres{std::nan("")}, Metres{1.0}, rising));
  CHECK_FALSE(time_to(Metres{2.0}, Metres{std::nan("")}, rising));
  const auto there = time_to(Metres{1.0}, Metres{1.0}, rising);
  REQUIRE(there);
  CHECK(there->latest == Duration{0});
}

TEST_CASE("time to a target: the horizon is kept on both sides", "[tank][edges]") {
  const double days_30 = 30.0 * 86400.0;
  const auto slowest = [](double rate) { return rate_of(rate * 1.1, rate, rate * 1.2); };
  CHECK(time_to(Metres{2.0}, Metres{1.0}, slowest(1.0 / days_30 * 1.0001)));
  CHECK_FALSE(time_to(Metres{2.0}, Metres{1.0}, slowest(1.0 / days_30 * 0.9999)));
}

TEST_CASE("time to a target: by contents, where the walls slope", "[tank][time-to]") {
  const FlowRate flow = flow_of(rate_of(-0.001, -0.0012, -0.0008), SquareMetres{2.0});
  CHECK(flow.slope.value() == Approx(-2.0));  // 2 m2 · 1 mm/s
  CHECK(flow.low.value() == Approx(-2.4));
  CHECK(flow.high.value() == Approx(-1.6));
  const auto empty = time_to(Litres{0.0}, Litres{1200.0}, flow);
  REQUIRE(empty);
  CHECK(seconds_of(empty->expected) == Approx(600.0));
}
