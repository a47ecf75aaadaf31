#include "stillwell/site/clock_step.hpp"

#include <chrono>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

const Instant kNow{1h};
const Stamp kWall{std::chrono::hours{500'000}};

}  // namespace

TEST_CASE("clock step: a clock that goes evenly, or is slewed, has not been set", "[site][rule-21]") {
  ClockMemory memory;
  for (int scan = 0; scan < 600; ++scan) {
    // Half a millisecond a second, the most that the kernel slews (adjtimex(2)).
    const auto gone = scan * 10s;
    follow(memory, kWall + gone + std::chrono::milliseconds{5 * scan}, kNow + gone);
    CHECK_FALSE(has_stepped(memory, kNow + gone));
  }
}

TEST_CASE("clock step: one that was set forwards or backwards is not believed for a minute",
          "[site][rule-21]") {
  for (const std::chrono::milliseconds step :
       {std::chrono::milliseconds{3s}, std::chrono::milliseconds{-1h}}) {
    ClockMemory memory;
    follow(memory, kWall, kNow);
    follow(memory, kWall + 1s + step, kNow + 1s);
    CHECK(has_stepped(memory, kNow + 1s));
    CHECK(has_stepped(memory, kNow + 60s));
    CHECK_FALSE(has_stepped(memory, kNow + 61s));
  }
}

TEST_CASE("clock step: the first sight of a clock is none; one while it was not trusted is",
          "[site][rule-21]") {
  ClockMemory memory;
  follow(memory, std::nullopt, kNow);
  follow(memory, kWall, kNow + 1s);
  CHECK_FALSE(has_stepped(memory, kNow + 1s));
  follow(memory, std::nullopt, kNow + 2s);
  follow(memory, kWall + 1h, kNow + 3s);
  CHECK(has_stepped(memory, kNow + 3s));
}
