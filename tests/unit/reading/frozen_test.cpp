// A gauge that stands still while the water must be moving.

#include "stillwell/reading/frozen.hpp"

#include <chrono>
#include <cmath>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Instant kStart{1h};
constexpr FrozenRules kRules{.still_within = Metres{0.003}, .must_move = Metres{0.0295}};
constexpr MetresPerSecond kFilling{0.001};

/// A gauge shown once a second; returns the second at which it was first called frozen, or -1.
template <class LevelAt, class RateAt>
int first_frozen(int seconds, LevelAt level_at, RateAt rate_at) {
  FrozenMemory memory;
  for (int second = 0; second <= seconds; ++second) {
    const Seen seen{Metres{level_at(second)}, kStart + std::chrono::seconds{second}};
    if (follow(memory, seen, rate_at(second), kRules) == Reason::frozen) return second;
  }
  return -1;
}

MetresPerSecond filling(int) {
  return kFilling;
}

}  // namespace

TEST_CASE("frozen: said when the water must have moved so far, and not before", "[reading][frozen]") {
  FrozenMemory memory;
  CHECK(follow(memory, {Metres{1.0}, kStart}, kFilling, kRules) == Reason::none);
  CHECK(follow(memory, {Metres{1.0}, kStart + 29499ms}, kFilling, kRules) == Reason::none);
  CHECK(follow(memory, {Metres{1.0}, kStart + 29501ms}, kFilling, kRules) == Reason::frozen);
}

TEST_CASE("frozen: a range within the noise is no movement, a hair more is", "[reading][frozen]") {
  const auto wobble = [](double by) { return [by](int second) { return second % 2 == 0 ? 1.0 : 1.0 + by; }; };
  CHECK(first_frozen(60, wobble(0.003 - 1e-9), filling) == 30);
  CHECK(first_frozen(3600, wobble(0.003 + 1e-9), filling) == -1);
}

TEST_CASE("frozen: still water with nothing running is never accused", "[reading][frozen]") {
  CHECK(first_frozen(
            24 * 3600, [](int) { return 1.0; }, [](int) { return MetresPerSecond{0.0}; }) == -1);
}

TEST_CASE("frozen: a gauge that follows the water is never accused, nor one at a tenth of its speed",
          "[reading][frozen]") {
  CHECK(first_frozen(
            3600, [](int second) { return 1.0 + 0.001 * second; }, filling) == -1);
  CHECK(first_frozen(
            3600, [](int second) { return 1.0 + 0.00011 * second; }, filling) == -1);
}

TEST_CASE("frozen: drawing down counts as filling does, and both in turn as well", "[reading][frozen]") {
  const auto still = [](int) { return 1.0; };
  CHECK(first_frozen(60, still, [](int) { return MetresPerSecond{-0.001}; }) == 30);
  // Up 20 mm and down 60 mm: the range is 29.5 mm in the second leg.
  const auto turning = [](int second) { return MetresPerSecond{second <= 20 ? 0.001 : -0.001}; };
  CHECK(first_frozen(60, still, turning) == 50);
}

TEST_CASE("frozen: stays said after the pump stopped, until the reading moves", "[reading][frozen]") {
  FrozenMemory memory;
  follow(memory, {Metres{1.0}, kStart}, kFilling, kRules);
  REQUIRE(follow(memory, {Metres{1.0}, kStart + 40s}, kFilling, kRules) == Reason::frozen);
  CHECK(follow(memory, {Metres{1.0}, kStart + 10h}, MetresPerSecond{0.0}, kRules) == Reason::frozen);
  CHECK(follow(memory, {Metres{1.01}, kStart + 10h + 1s}, MetresPerSecond{0.0}, kRules) == Reason::none);
  CHECK(follow(memory, {Metres{1.01}, kStart + 10h + 20s}, kFilling, kRules) == Reason::none);
}

TEST_CASE("frozen: numbers that are none accuse nobody and acquit nobody", "[reading][edges]") {
  const double none = std::nan("");
  FrozenMemory memory;
  CHECK(follow(memory, {Metres{none}, kStart}, kFilling, kRules) == Reason::none);
  CHECK_FALSE(memory.at);
  follow(memory, {Metres{1.0}, kStart}, kFilling, kRules);
  CHECK(follow(memory, {Metres{1.0}, kStart + 1h}, MetresPerSecond{none}, kRules) == Reason::none);
  REQUIRE(follow(memory, {Metres{1.0}, kStart + 2h}, kFilling, kRules) == Reason::frozen);
  CHECK(follow(memory, {Metres{none}, kStart + 3h}, kFilling, kRules) == Reason::frozen);
}
