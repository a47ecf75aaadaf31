// One gauge, from what it sent to a level that may be believed. Limits are looked at from both sides; time is
// handed in, so "stale" is exact.

#include "stillwell/reading/gauge.hpp"

#include <chrono>
#include <cmath>
#include <limits>
#include <vector>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

const Mounting kMounting{
    .to_floor = Metres{2.85}, .to_full = Metres{0.40}, .full = Metres{2.45}, .margin = Metres{0.10}};

GaugeRules distance_rules() {
  return {.measures = Measures::distance,
          .blanking = Metres{0.25},
          .reach = Metres{4.5},
          .stale_after = 3s,
          .recover_after = 3};
}

/// A gauge and the samples it is shown, a second apart.
struct Bench {
  GaugeRules rules = distance_rules();
  Mounting mounting = kMounting;
  GaugeMemory memory;
  Instant now{1h};
  GaugeSample shown;

  WaterMotion water;

  Level again(Duration later) { return follow(memory, shown, rules, mounting, water, now += later); }
  Level show(GaugeSample sample) {
    now += 1s;
    sample.at = now;
    shown = sample;
    return again(0s);
  }
  Level reads(double value) { return show({.value = Metres{value}, .fault = Reason::none}); }
  Level fails(Reason reason) { return show({.fault = reason}); }
  Level settle(double value = 1.85) {
    for (int i = 1; i < rules.recover_after; ++i)
      reads(value);
    return reads(value);
  }
};

constexpr double kBit = 1e-9;

Reason judge(Metres reported, const GaugeRules& rules, const Mounting& mounting) {
  return stillwell::judge(reported, reported, rules, mounting);
}

}  // namespace

TEST_CASE("gauge: a distance below blanking is refused, at blanking it is seen", "[reading][limits]") {
  auto mounting = kMounting;
  mounting.margin = Metres{1.0};  // so that the span does not speak first
  CHECK(judge(Metres{0.25}, distance_rules(), mounting) == Reason::none);
  CHECK(judge(Metres{0.25 - kBit}, distance_rules(), mounting) == Reason::blanking);
  CHECK(judge(Metres{0.0}, distance_rules(), mounting) == Reason::blanking);
  CHECK(judge(Metres{-1.0}, distance_rules(), mounting) == Reason::blanking);
}

TEST_CASE("gauge: a distance beyond reach is refused, at reach it is seen", "[reading][limits]") {
  auto mounting = kMounting;
  mounting.margin = Metres{5.0};
  CHECK(judge(Metres{4.5}, distance_rules(), mounting) == Reason::none);
  CHECK(judge(Metres{4.5 + kBit}, distance_rules(), mounting) == Reason::beyond_reach);
}

TEST_CASE("gauge: a level outside the span and its margin is refused", "[reading][limits]") {
  auto rules = distance_rules();
  rules.blanking = Metres{0.0};
  rules.reach.reset();
  CHECK(judge(Metres{2.95 - kBit}, rules, kMounting) == Reason::none);  // 10 cm below the floor
  CHECK(judge(Metres{2.95 + kBit}, rules, kMounting) == Reason::outside_span);
  CHECK(judge(Metres{0.30 + kBit}, rules, kMounting) == Reason::none);  // 10 cm above the full line
  CHECK(judge(Metres{0.30 - kBit}, rules, kMounting) == Reason::outside_span);
}

TEST_CASE("gauge: a number that is none is refused whatever it measures", "[reading][limits]") {
  for (const double none :
       {std::nan(""), std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()}) {
    for (const Measures measures : {Measures::distance, Measures::depth}) {
      GaugeRules rules{.measures = measures, .stale_after = 3s, .recover_after = 1};
      CHECK(judge(Metres{none}, rules, kMounting) != Reason::none);
      Bench bench{.rules = rules};
      CHECK_FALSE(bench.reads(none).usable());
    }
  }
}

TEST_CASE("gauge: a level that is no number is not usable, whoever made it", "[reading][limits]") {
  const double none = std::nan("");
  CHECK_FALSE(Level{.level = Metres{none}, .quality = Quality::good, .reason = Reason::none}.usable());
  const Level blurred{
      .level = Metres{1.0}, .uncertainty = Metres{none}, .quality = Quality::good, .reason = Reason::none};
  CHECK_FALSE(blurred.usable());
  CHECK(Level{.level = Metres{1.0}, .quality = Quality::good, .reason = Reason::none}.usable());
}

TEST_CASE("gauge: a distance becomes the water below it", "[reading][level]") {
  Bench bench;
  const Level level = bench.settle(1.85);
  REQUIRE(level.usable());
  CHECK(level.quality == Quality::good);
  CHECK(level.level->value() == Approx(1.0));
  CHECK(level.reason == Reason::none);
}

TEST_CASE("gauge: a depth counts from the sensor's height above the floor", "[reading][level]") {
  Bench bench;
  bench.rules.measures = Measures::depth;
  bench.rules.blanking = Metres{0.25};  // means nothing to a submerged sensor
  bench.mounting = {.to_floor = Metres{-0.15}, .full = Metres{2.0}, .margin = Metres{0.1}};
  CHECK(bench.settle(0.05).level->value() == Approx(0.20));
  CHECK(bench.reads(1.85).level->value() == Approx(2.0));
  CHECK(bench.reads(2.0).reason == Reason::outside_span);
  bench.rules.reach = Metres{1.5};
  CHECK(judge(Metres{1.5 + kBit}, bench.rules, bench.mounting) == Reason::beyond_reach);
  CHECK(judge(Metres{1.5}, bench.rules, bench.mounting) == Reason::none);
}

TEST_CASE("gauge: nothing is known before enough readings in a row", "[reading][recovery]") {
  Bench bench;
  CHECK(bench.again(0s).reason == Reason::starting);
  CHECK_FALSE(bench.reads(1.85).usable());
  CHECK(bench.reads(1.85).reason == Reason::starting);
  CHECK(bench.reads(1.85).usable());
}

TEST_CASE("gauge: a fault in the run of good readings begins the count anew", "[reading][recovery]") {
  for (const bool wrong : {false, true}) {
    Bench bench;
    bench.reads(1.85);
    bench.reads(1.85);
    wrong ? bench.reads(0.1) : bench.fails(Reason::bad_frame);
    CHECK_FALSE(bench.reads(1.85).usable());
    CHECK_FALSE(bench.reads(1.85).usable());
    CHECK(bench.reads(1.85).usable());
  }
}

TEST_CASE("gauge: one missed reply is tolerated", "[reading][faults]") {
  for (const Reason missed : {Reason::no_answer, Reason::bad_frame}) {
    Bench bench;
    bench.settle();
    const Level level = bench.fails(missed);
    CHECK(level.usable());
    CHECK(level.at == bench.now - 1s);  // the age of the value is told
    CHECK(bench.reads(1.85).usable());  // and no new run is asked for
  }
}

TEST_CASE("gauge: a wrong reading is bad at once, with its reason", "[reading][faults]") {
  const std::vector<std::pair<double, Reason>> rows{
      {0.1, Reason::blanking}, {4.6, Reason::beyond_reach}, {4.0, Reason::outside_span}};
  for (const auto& [value, reason] : rows) {
    Bench bench;
    bench.settle();
    const Level level = bench.reads(value);
    CHECK_FALSE(level.usable());
    CHECK_FALSE(level.level.has_value());
    CHECK(level.reason == reason);
    CHECK_FALSE(bench.reads(1.85).usable());
    CHECK_FALSE(bench.reads(1.85).usable());
    CHECK(bench.reads(1.85).usable());
  }
}

TEST_CASE("gauge: a value is good at stale_after and bad past it", "[reading][stale]") {
  Bench bench;
  bench.settle();
  CHECK(bench.again(3s).usable());
  const Level late = bench.again(1ns);
  CHECK_FALSE(late.usable());
  CHECK(late.reason == Reason::stale);
}

TEST_CASE("gauge: failing replies do not keep a value young", "[reading][stale]") {
  Bench bench;
  bench.settle();
  CHECK(bench.fails(Reason::no_answer).usable());
  CHECK(bench.fails(Reason::no_answer).usable());
  CHECK(bench.fails(Reason::no_answer).usable());  // 3 s old: the limit itself
  const Level late = bench.fails(Reason::no_answer);
  CHECK_FALSE(late.usable());
  CHECK(late.reason == Reason::no_answer);
}

TEST_CASE("gauge: after it went stale a single reading is not enough", "[reading][stale]") {
  Bench bench;
  bench.settle();
  bench.again(10s);
  CHECK_FALSE(bench.reads(1.85).usable());
  CHECK_FALSE(bench.reads(1.85).usable());
  CHECK(bench.reads(1.85).usable());
}

TEST_CASE("gauge: a reading that arrives too old earns nothing", "[reading][stale]") {
  Bench bench;
  bench.rules.recover_after = 1;
  bench.shown = {.at = bench.now, .value = Metres{1.85}, .fault = Reason::none};
  CHECK_FALSE(bench.again(4s).usable());
}

TEST_CASE("gauge: the same sample shown again changes nothing", "[reading][repeat]") {
  Bench bench;
  bench.reads(1.85);
  for (int i = 0; i < 10; ++i)
    CHECK_FALSE(bench.again(10ms).usable());  // one reading stays one, however often it is looked at
  bench.reads(1.85);
  CHECK(bench.reads(1.85).usable());
}

TEST_CASE("gauge: a sample older than the newest changes nothing", "[reading][repeat]") {
  Bench bench;
  bench.settle(1.85);
  bench.shown = {.at = bench.now - 500ms, .value = Metres{0.1}, .fault = Reason::none};
  const Level level = bench.again(100ms);
  CHECK(level.usable());
  CHECK(level.level->value() == Approx(1.0));
}

TEST_CASE("gauge: the last accepted level is kept for display after it went bad", "[reading][display]") {
  Bench bench;
  bench.settle(1.85);
  bench.reads(0.1);
  REQUIRE(bench.memory.accepted.has_value());
  CHECK(bench.memory.accepted->value() == Approx(1.0));
}
