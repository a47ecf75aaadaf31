// Volume per running hour against the nameplate, and its trend.

#include "stillwell/tank/wear.hpp"

#include <chrono>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr LitresPerSecond kNameplate{1.0};

/// Runs of 20 min whose flow falls by `per_1000_hours` of the nameplate, each measured to ± `error`.
PumpWear aged(int hours, double per_1000_hours, double error, support::Dice& dice) {
  PumpWear wear;
  for (int run = 0; run < hours * 3; ++run) {
    const double ratio = 1.0 + per_1000_hours * (run / 3.0) / 1000.0 + dice.between(-error, error);
    add_run(wear, Litres{ratio * 1200.0}, 20min);
  }
  return wear;
}

}  // namespace

TEST_CASE("wear: the ratio is known after the first stretch of running, not before", "[tank][wear]") {
  PumpWear wear;
  add_run(wear, Litres{0.9 * 36000.0 - 1.0}, 10h - 1s);
  CHECK_FALSE(wear_ratio(wear, kNameplate));
  add_run(wear, Litres{1.0}, 1s);
  const auto ratio = wear_ratio(wear, kNameplate);
  REQUIRE(ratio);
  CHECK(*ratio == Approx(0.9));
}

TEST_CASE("wear: without a nameplate there is nothing to compare with", "[tank][edges]") {
  support::Dice dice{1};
  const PumpWear wear = aged(100, 0.0, 0.0, dice);
  CHECK_FALSE(wear_ratio(wear, LitresPerSecond{0.0}));
  CHECK_FALSE(wear_ratio(wear, LitresPerSecond{std::nan("")}));
  CHECK_FALSE(wear_trend(wear, LitresPerSecond{0.0}));
}

TEST_CASE("wear: a falling flow is found, and a steady one is not called falling", "[tank][property]") {
  const std::uint64_t seed = support::seed_or(1000);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  int alarmed = 0;
  constexpr int kRounds = 200;
  for (int round = 0; round < kRounds; ++round) {
    const auto worn = wear_trend(aged(300, -0.2, 0.05, dice), kNameplate);
    REQUIRE(worn);
    CHECK(worn->is_meaningful());
    CHECK(std::abs(worn->per_1000_hours + 0.2) < 5.0 * worn->standard_error);
    const auto steady = wear_trend(aged(300, 0.0, 0.05, dice), kNameplate);
    REQUIRE(steady);
    if (steady->is_meaningful()) ++alarmed;
  }
  // Two standard errors: 5 % of 200, and four standard deviations of that count.
  CHECK(alarmed <= 10 + 13);
}

TEST_CASE("wear: a life of any length fits, and keeps its hours and litres", "[tank][wear]") {
  support::Dice dice{2};
  const PumpWear wear = aged(20000, -0.01, 0.0, dice);
  CHECK(wear.complete < kWearStretches);
  CHECK(wear.complete >= kWearStretches / 2);
  CHECK(wear.length == 640h);  // 20000 h in 32 stretches need 625 h each, in doublings of 10 h
  Duration ran{0};
  Litres moved{0.0};
  for (const auto& stretch : wear.stretches) {
    ran += stretch.ran;
    moved += stretch.moved;
  }
  CHECK(ran == 20000h);
  CHECK(moved.value() == Approx(20000.0 * 3600.0 * 0.9).epsilon(1e-4));
  const auto trend = wear_trend(wear, kNameplate);
  REQUIRE(trend);
  CHECK(trend->per_1000_hours == Approx(-0.01).epsilon(1e-3));
}

TEST_CASE("wear: five stretches make a trend, four do not", "[tank][edges]") {
  support::Dice dice{3};
  CHECK_FALSE(wear_trend(aged(49, -0.2, 0.01, dice), kNameplate));
  CHECK(wear_trend(aged(51, -0.2, 0.01, dice), kNameplate));
}

TEST_CASE("wear: a run in which the tank lost counts as one that moved nothing", "[tank]") {
  PumpWear wear;
  add_run(wear, Litres{3000.0}, 5h);
  add_run(wear, Litres{-500.0}, 5h);
  CHECK(wear_ratio(wear, LitresPerSecond{300.0 / 3600.0}).value() == Approx(1.0));
}

TEST_CASE("wear: a run that is none leaves no trace", "[tank][edges]") {
  PumpWear wear;
  add_run(wear, Litres{std::nan("")}, 20h);
  add_run(wear, Litres{5.0}, 0h);
  add_run(wear, Litres{5.0}, -1h);
  CHECK(wear.complete == 0);
  CHECK(wear.stretches[0].ran == 0h);
}
