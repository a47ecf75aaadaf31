// What a motor takes, by its meter: a meter that was not read lately shows nothing.

#include "stillwell/reading/meter.hpp"

#include <chrono>
#include <cmath>
#include <limits>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

struct Bench {
  MeterRules rules{.stale_after = 1500ms};
  MeterMemory memory;
  Instant now{1h};
  MeterSample shown;

  MeterState again(Duration later) { return follow(memory, shown, rules, now += later); }
  MeterState show(MeterSample sample) {
    now += 500ms;
    sample.at = now;
    shown = sample;
    return again(0s);
  }
  MeterState reads(double value) { return show({.value = value, .fault = Reason::none}); }
};

}  // namespace

TEST_CASE("meter: it shows what was read last, and when", "[reading][meter]") {
  Bench bench;
  const MeterState state = bench.reads(780.0);
  CHECK(state.load == MotorLoad{780.0});
  CHECK(state.reason == Reason::none);
  CHECK(state.at == bench.now);
  CHECK(bench.again(1s).load == MotorLoad{780.0});
  CHECK(bench.reads(290.0).load == MotorLoad{290.0});
}

TEST_CASE("meter: before the first read it shows nothing", "[reading][meter]") {
  Bench bench;
  CHECK_FALSE(bench.again(0s).load.has_value());
  CHECK(bench.again(0s).reason == Reason::starting);
  CHECK_FALSE(bench.show({.fault = Reason::no_answer}).load.has_value());
  CHECK(bench.again(0s).reason == Reason::no_answer);
}

TEST_CASE("meter: a failed read is tolerated until the last good one is stale", "[reading][meter]") {
  Bench bench;
  bench.reads(780.0);
  CHECK(bench.show({.fault = Reason::no_answer}).load == MotorLoad{780.0});
  CHECK(bench.show({.fault = Reason::no_answer}).load == MotorLoad{780.0});
  CHECK(bench.show({.fault = Reason::no_answer}).load == MotorLoad{780.0});  // 1500 ms old: the limit itself
  const MeterState late = bench.again(1ns);
  CHECK_FALSE(late.load.has_value());
  CHECK(late.reason == Reason::no_answer);
  CHECK(bench.reads(290.0).load == MotorLoad{290.0});
}

TEST_CASE("meter: one that is simply not read any more is stale", "[reading][meter]") {
  Bench bench;
  bench.reads(780.0);
  CHECK(bench.again(1500ms).load == MotorLoad{780.0});
  const MeterState late = bench.again(1ns);
  CHECK_FALSE(late.load.has_value());
  CHECK(late.reason == Reason::stale);
}

TEST_CASE("meter: what is no number is a failed read", "[reading][meter]") {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  constexpr double kInfinite = std::numeric_limits<double>::infinity();
  for (const double none : {kNan, kInfinite, -kInfinite}) {
    Bench fresh;
    CHECK_FALSE(fresh.reads(none).load.has_value());
    CHECK(fresh.again(0s).reason == Reason::bad_frame);
    Bench bench;
    bench.reads(780.0);
    CHECK(bench.reads(none).load == MotorLoad{780.0});
    const MeterState late = bench.again(1s + 1ns);  // 1500 ms after the good one
    CHECK_FALSE(late.load.has_value());
    CHECK(late.reason == Reason::bad_frame);
  }
}

TEST_CASE("meter: less than nothing is nothing, and a reading", "[reading][meter]") {
  Bench bench;
  const MeterState state = bench.reads(-3.0);
  CHECK(state.load == MotorLoad{0.0});
  CHECK(state.reason == Reason::none);
}

TEST_CASE("meter: an older sample does not overwrite a newer one", "[reading][meter]") {
  Bench bench;
  bench.reads(780.0);
  bench.shown = {.at = bench.now - 400ms, .value = 290.0, .fault = Reason::none};
  CHECK(bench.again(0s).load == MotorLoad{780.0});
}
