// The delay is a budget that refills more slowly than it drains, so a flapping condition cannot dodge it.

#include "stillwell/reading/delay.hpp"

#include <algorithm>
#include <chrono>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

TEST_CASE("delay: counts at its limit and not before", "[reading][delay]") {
  Delay delay;
  Instant now{1h};
  CHECK_FALSE(delay.step(true, 5s, now));
  CHECK_FALSE(delay.step(true, 5s, now + 5s - 1ns));
  CHECK(delay.step(true, 5s, now + 5s));
  CHECK(delay.step(true, 5s, now + 1h));
}

TEST_CASE("delay: never counts while the condition does not hold", "[reading][delay]") {
  Delay delay;
  const Instant now{1h};
  delay.step(true, 5s, now);
  delay.step(true, 5s, now + 10s);
  CHECK_FALSE(delay.step(false, 5s, now + 11s));
}

TEST_CASE("delay: a limit of zero counts at once", "[reading][delay]") {
  Delay delay;
  CHECK(delay.step(true, 0s, Instant{1h}));
  CHECK_FALSE(delay.step(false, 0s, Instant{1h}));
}

TEST_CASE("delay: a condition that flaps half of the time counts in the end", "[reading][delay]") {
  Delay delay;
  Instant now{1h};
  bool counted = false;
  int rounds = 0;
  for (; rounds < 100 && !counted; ++rounds) {
    delay.step(true, 60s, now);
    counted = delay.step(true, 60s, now += 4s);
    delay.step(false, 60s, now);
    delay.step(false, 60s, now += 4s);
  }
  CHECK(counted);
  CHECK(rounds > 60 / 4);  // and not sooner than a steady one would
}

TEST_CASE("delay: no rhythm of flapping dodges it while it is true for more than a fifth of the time",
          "[reading][delay]") {
  // A quarter of the time it is false is forgiven, so from one part in five on it must count in the end,
  // whatever the rhythm of the looks.
  for (int looks_true = 1; looks_true <= 3; ++looks_true) {
    for (int looks_false = 1; looks_false < 4 * looks_true; ++looks_false) {
      Delay delay;
      Instant now{1h};
      bool counted = false;
      for (int look = 0; look < 2000 && !counted; ++look)
        counted = delay.step(look % (looks_true + looks_false) < looks_true, 20s, now += 1s);
      INFO(looks_true << " looks true, " << looks_false << " false");
      CHECK(counted);
    }
  }
}

TEST_CASE("delay: a condition seldom true is forgotten", "[reading][delay]") {
  Delay delay;
  Instant now{1h};
  for (int i = 0; i < 1000; ++i) {
    CHECK_FALSE(delay.step(true, 60s, now));
    CHECK_FALSE(delay.step(true, 60s, now += 1s));
    CHECK_FALSE(delay.step(false, 60s, now));
    CHECK_FALSE(delay.step(false, 60s, now += 59s));
  }
}

TEST_CASE("delay: a pause neither drains nor refills", "[reading][delay]") {
  Delay delay;
  Instant now{1h};
  delay.step(true, 5s, now);
  delay.step(true, 5s, now += 4s);
  delay.pause();
  now += 1h;
  CHECK_FALSE(delay.step(true, 5s, now));
  CHECK_FALSE(delay.step(true, 5s, now + 999ms));
  CHECK(delay.step(true, 5s, now + 1s));
}

TEST_CASE("delay: a restart asks for the whole time", "[reading][delay]") {
  Delay delay;
  const Instant now{1h};
  delay.step(true, 5s, now);
  delay.step(true, 5s, now + 5s);
  delay.restart();
  CHECK_FALSE(delay.step(true, 5s, now + 6s));
  CHECK(delay.step(true, 5s, now + 11s));
}

TEST_CASE("delay: counts never before its limit has been true in all", "[reading][property]") {
  const auto seed = support::seed_or(20260303);
  INFO("seed " << seed);
  support::Dice dice{seed};
  for (int history = 0; history < 200; ++history) {
    Delay delay;
    Instant now{1h};
    Duration in_all{0};
    bool held = false;
    for (int step = 0; step < 100; ++step) {
      const Duration passed = std::chrono::milliseconds{dice.roll(900)};
      now += passed;
      if (held) in_all += passed;
      held = dice.one_in(2);
      const bool counted = delay.step(held, 10s, now);
      REQUIRE((!counted || (held && in_all >= 10s)));
    }
  }
}
