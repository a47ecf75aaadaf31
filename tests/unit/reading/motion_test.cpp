// No water moves faster than it can, and a plateau is not the truth (rule 4).

#include "stillwell/reading/motion.hpp"

#include <chrono>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Instant kStart{1h};
constexpr Metres kTolerance{0.005};
constexpr Fastest kSixtyAMinute{MetresPerSecond{0.001}, MetresPerSecond{0.001}};  // mm/min, both ways
constexpr Fastest kStill{};

/// A tank of which one level was accepted.
MotionMemory standing_at(double level) {
  MotionMemory memory;
  REQUIRE(follow(memory, {Metres{level}, kStart}, kSixtyAMinute, kTolerance) == Reason::none);
  return memory;
}

}  // namespace

TEST_CASE("motion: the first level is accepted, since nothing contradicts it", "[reading][motion]") {
  MotionMemory memory;
  CHECK(reachable(memory, Metres{3.0}, kTolerance));
  CHECK(follow(memory, {Metres{3.0}, kStart}, kStill, kTolerance) == Reason::none);
  CHECK(memory.accepted == Metres{3.0});
}

TEST_CASE("motion: fastest times elapsed plus tolerance is reached, a hair more is a jump",
          "[reading][motion]") {
  const Instant later = kStart + 60s;
  const auto judged = [later](double level) {
    MotionMemory memory = standing_at(1.0);
    return follow(memory, {Metres{level}, later}, kSixtyAMinute, kTolerance);
  };
  CHECK(judged(1.0 + 0.065 - 1e-9) == Reason::none);
  CHECK(judged(1.0 + 0.065 + 1e-9) == Reason::jump);
  CHECK(judged(1.0 - 0.065 + 1e-9) == Reason::none);
  CHECK(judged(1.0 - 0.065 - 1e-9) == Reason::jump);
}

TEST_CASE("motion: rise and fall have limits of their own, and change with what runs", "[reading][motion]") {
  const Fastest filling{MetresPerSecond{0.002}, MetresPerSecond{0.0}};
  const Fastest drawing{MetresPerSecond{0.0}, MetresPerSecond{0.001}};
  MotionMemory memory = standing_at(1.0);
  let_move(memory, kStart + 10s, filling);
  let_move(memory, kStart + 30s, drawing);
  CHECK(memory.highest.value() == Approx(1.02));
  CHECK(memory.lowest.value() == Approx(0.98));
  CHECK(follow(memory, {Metres{1.03}, kStart + 40s}, drawing, kTolerance) == Reason::jump);
  CHECK(follow(memory, {Metres{1.02}, kStart + 41s}, drawing, kTolerance) == Reason::none);
}

TEST_CASE("plateau: a false echo stays refused though the water could have come there meanwhile",
          "[reading][motion][rule-4]") {
  MotionMemory memory = standing_at(1.0);
  for (int second = 1; second <= 12 * 3600; ++second) {
    const double wobble = second % 3 == 0 ? 0.002 : 0.0;
    const Seen spider{Metres{2.3 + wobble}, kStart + std::chrono::seconds{second}};
    REQUIRE(follow(memory, spider, kSixtyAMinute, kTolerance) == Reason::jump);
  }
  CHECK(memory.highest > Metres{2.3});  // reachable by time alone
  CHECK(memory.accepted == Metres{1.0});
}

TEST_CASE("plateau: a false echo that wanders farther, or is interrupted, stays refused",
          "[reading][motion][rule-4]") {
  MotionMemory memory = standing_at(1.0);
  CHECK(follow(memory, {Metres{2.3}, kStart + 1s}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK(follow(memory, {Metres{0.1}, kStart + 2s}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK(follow(memory, {Metres{2.6}, kStart + 2h}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK(follow(memory, {Metres{2.3}, kStart + 4h}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK(follow(memory, {Metres{0.1}, kStart + 5h}, kSixtyAMinute, kTolerance) == Reason::jump);
}

TEST_CASE("plateau: another level that can be reached is accepted, and the water is followed from there",
          "[reading][motion][rule-4]") {
  MotionMemory memory = standing_at(1.0);
  CHECK(follow(memory, {Metres{2.3}, kStart + 1s}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK(memory.doubting());
  // Ten minutes allow 60 cm.
  CHECK(follow(memory, {Metres{1.7}, kStart + 10min}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK(follow(memory, {Metres{1.5}, kStart + 10min + 1s}, kSixtyAMinute, kTolerance) == Reason::none);
  CHECK_FALSE(memory.doubting());
  CHECK(follow(memory, {Metres{2.3}, kStart + 11min}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK(memory.accepted == Metres{1.5});
}

TEST_CASE("plateau: the fence stands a tolerance before the refused level", "[reading][motion][rule-4]") {
  MotionMemory memory = standing_at(1.0);
  follow(memory, {Metres{2.0}, kStart + 1s}, kSixtyAMinute, kTolerance);
  let_move(memory, kStart + 1h, kSixtyAMinute);
  CHECK(reachable(memory, Metres{2.0 - 0.005 - 1e-9}, kTolerance));
  CHECK_FALSE(reachable(memory, Metres{2.0 - 0.005 + 1e-9}, kTolerance));
}

TEST_CASE("plateau: a reading barely out of reach does not shut out the water rising behind it",
          "[reading][motion][rule-4]") {
  const auto after = [](double refused) {
    MotionMemory memory = standing_at(1.0);
    REQUIRE(follow(memory, {Metres{refused}, kStart + 1s}, kSixtyAMinute, kTolerance) == Reason::jump);
    return follow(memory, {Metres{1.03}, kStart + 40s}, kSixtyAMinute, kTolerance);
  };
  // One second and two tolerances: 11 mm.
  CHECK(after(1.011 - 1e-9) == Reason::none);
  CHECK(after(1.011 + 1e-9) == Reason::jump);
}

TEST_CASE("plateau: a witness from outside makes it the truth", "[reading][motion][rule-4]") {
  MotionMemory memory = standing_at(1.0);
  const Instant later = kStart + 5s;
  CHECK(follow(memory, {Metres{2.3}, later}, kSixtyAMinute, kTolerance) == Reason::jump);
  confirm(memory, {Metres{2.3}, later});
  CHECK(follow(memory, {Metres{2.301}, later + 1s}, kSixtyAMinute, kTolerance) == Reason::none);
  CHECK(follow(memory, {Metres{1.0}, later + 2s}, kSixtyAMinute, kTolerance) == Reason::jump);
}

TEST_CASE("plateau: a level saved before a restart still judges the first one after it",
          "[reading][motion][rule-4]") {
  MotionMemory saved = standing_at(1.0);
  saved.at = Instant{30s};  // on the new clock; the machine was away for less
  CHECK(follow(saved, {Metres{2.3}, Instant{90s}}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK(follow(saved, {Metres{1.05}, Instant{91s}}, kSixtyAMinute, kTolerance) == Reason::none);
}

TEST_CASE("motion: what is none is a jump, and a limit that is none allows nothing", "[reading][edges]") {
  const double none = std::nan("");
  MotionMemory memory = standing_at(1.0);
  CHECK(follow(memory, {Metres{none}, kStart + 1s}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK_FALSE(memory.doubting());
  CHECK(follow(memory, {Metres{1.0}, kStart + 2s}, kSixtyAMinute, Metres{none}) == Reason::jump);
  memory = standing_at(1.0);
  const Fastest broken{MetresPerSecond{none}, MetresPerSecond{-5.0}};
  CHECK(follow(memory, {Metres{1.1}, kStart + 1h}, broken, kTolerance) == Reason::jump);
  CHECK(follow(memory, {Metres{1.0}, kStart + 1h}, broken, kTolerance) == Reason::none);
  MotionMemory fresh;
  CHECK(follow(fresh, {Metres{none}, kStart}, kSixtyAMinute, kTolerance) == Reason::jump);
  CHECK_FALSE(fresh.accepted);
}

TEST_CASE("motion: a reading older than the water's time has only the tolerance", "[reading][edges]") {
  const auto judged = [](double level) {
    MotionMemory memory = standing_at(1.0);
    return follow(memory, {Metres{level}, kStart - 1h}, kSixtyAMinute, kTolerance);
  };
  CHECK(judged(1.006) == Reason::jump);
  CHECK(judged(1.004) == Reason::none);
}

TEST_CASE("motion: water within its limits is never refused, whatever was shown in between",
          "[reading][property]") {
  const std::uint64_t seed = support::seed_or(99);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  MotionMemory memory = standing_at(1.5);
  double truth = 1.5;
  Instant now = kStart;
  for (int i = 0; i < 20000; ++i) {
    now += std::chrono::milliseconds{100 + dice.roll(3000)};
    truth = std::clamp(truth + dice.between(-0.0001, 0.0001), 1.0, 2.0);
    const bool spider = dice.one_in(5);
    // Two true readings differ by no more than the tolerance.
    const double shown = spider ? dice.between(2.4, 2.6) : truth + dice.between(-0.0025, 0.0025);
    const Reason reason = follow(memory, {Metres{shown}, now}, kSixtyAMinute, kTolerance);
    INFO("reading " << i << ", shown " << shown << ", truth " << truth);
    REQUIRE(reason == (spider ? Reason::jump : Reason::none));
  }
}
