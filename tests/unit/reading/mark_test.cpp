// A float at a known height, as a witness of a level after a jump (rule 4).

#include "stillwell/reading/mark.hpp"

#include <chrono>
#include <cmath>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Instant kStart{1h};
constexpr Duration kPatience = 3s;
/// On with water above 1.5 m, give or take 5 cm; its broken wire looks like off.
constexpr MarkRules kMark{.at = Metres{1.5}, .swing = Metres{0.05}, .broken_is_on = false};

SwitchState reads(std::optional<bool> on, Instant at = kStart) {
  return {on, on ? Reason::none : Reason::no_answer, at};
}

MotionMemory reached(double lowest, double highest) {
  return {.accepted = Metres{lowest}, .lowest = Metres{lowest}, .highest = Metres{highest}, .at = kStart};
}

/// It and the gauge saw the water below it.
MarkMemory agreed_below() {
  MarkMemory memory;
  follow(memory, kMark, reads(false), {Metres{1.0}, kStart}, kPatience);
  REQUIRE(memory.agreed == Side::below);
  return memory;
}

}  // namespace

TEST_CASE("mark: a float that turned tells a plateau beyond it from all that was in reach",
          "[reading][mark][rule-4]") {
  const MarkMemory memory = agreed_below();
  CHECK(confirms(memory, kMark, reads(true), reached(1.0, 1.2), Metres{2.2}));
  CHECK_FALSE(confirms(memory, kMark, reads(false), reached(1.0, 1.2), Metres{2.2}));
  CHECK_FALSE(confirms(memory, kMark, reads({}), reached(1.0, 1.2), Metres{2.2}));
}

TEST_CASE("mark: where both may be true it says nothing, its swing included", "[reading][mark][rule-4]") {
  const MarkMemory memory = agreed_below();
  // The water can have come to it by itself, and turned it.
  CHECK(confirms(memory, kMark, reads(true), reached(1.0, 1.449), Metres{2.2}));
  CHECK_FALSE(confirms(memory, kMark, reads(true), reached(1.0, 1.451), Metres{2.2}));
  // The plateau is on the side that it excludes.
  CHECK(confirms(memory, kMark, reads(true), reached(1.0, 1.1), Metres{1.451}));
  CHECK_FALSE(confirms(memory, kMark, reads(true), reached(1.0, 1.1), Metres{1.449}));
  CHECK_FALSE(confirms(memory, kMark, reads(true), reached(1.0, 1.1), Metres{0.2}));
  CHECK_FALSE(confirms(memory, kMark, reads(true), reached(1.0, std::nan("")), Metres{2.2}));
  CHECK_FALSE(confirms(memory, kMark, reads(true), reached(1.0, 1.1), Metres{std::nan("")}));
}

TEST_CASE("mark: what a broken wire looks like confirms nothing", "[reading][mark][rule-4]") {
  MarkRules rules = kMark;
  rules.broken_is_on = true;
  CHECK_FALSE(confirms(agreed_below(), rules, reads(true), reached(1.0, 1.2), Metres{2.2}));
  MarkMemory above;
  follow(above, rules, reads(true), {Metres{2.2}, kStart}, kPatience);
  REQUIRE(above.agreed == Side::above);
  CHECK(confirms(above, rules, reads(false), reached(2.1, 2.2), Metres{1.0}));
  CHECK_FALSE(confirms(above, rules, reads(false), reached(1.549, 2.2), Metres{1.0}));
  CHECK_FALSE(confirms(above, rules, reads(false), reached(2.1, 2.2), Metres{1.551}));
}

TEST_CASE("mark: one that is on below its height says the same the other way round",
          "[reading][mark][rule-4]") {
  MarkRules rules = kMark;
  rules.on_is_above = false;
  rules.broken_is_on = true;
  MarkMemory memory;
  follow(memory, rules, reads(true), {Metres{1.0}, kStart}, kPatience);
  REQUIRE(memory.agreed == Side::below);
  CHECK(confirms(memory, rules, reads(false), reached(1.0, 1.2), Metres{2.2}));
  CHECK_FALSE(confirms(memory, rules, reads(true), reached(1.0, 1.2), Metres{2.2}));
}

TEST_CASE("mark: a float that never agreed with the gauge, or hangs fast, confirms nothing",
          "[reading][mark][rule-4]") {
  MarkMemory memory;
  CHECK_FALSE(confirms(memory, kMark, reads(true), reached(1.0, 1.2), Metres{2.2}));
  // It stands above while the gauge sees the water below it.
  follow(memory, kMark, reads(true), {Metres{1.0}, kStart}, kPatience);
  CHECK_FALSE(confirms(memory, kMark, reads(true), reached(1.0, 1.2), Metres{2.2}));
  // It was right above, and stayed when the water went.
  memory = {};
  follow(memory, kMark, reads(true), {Metres{2.0}, kStart}, kPatience);
  follow(memory, kMark, reads(true, kStart + 1s), {Metres{1.0}, kStart + 1s}, kPatience);
  CHECK_FALSE(confirms(memory, kMark, reads(true), reached(1.0, 1.2), Metres{2.2}));
}

TEST_CASE("mark: a float that turns against levels that go on being accepted is no witness",
          "[reading][mark][rule-4]") {
  const auto after = [](Duration accepted_for) {
    MarkMemory memory = agreed_below();
    for (Duration passed = 1s; passed <= accepted_for; passed += 1s)
      follow(memory, kMark, reads(true, kStart + passed), {Metres{1.0}, kStart + passed}, kPatience);
    return memory;
  };
  CHECK(after(4s).agreed == Side::below);  // turned at 1 s, and was contradicted until 4 s
  CHECK_FALSE(after(5s).agreed);
  SECTION("nobody counts the time in which nothing is accepted") {
    MarkMemory memory = agreed_below();
    for (Duration passed = 1s; passed <= 1h; passed += 1s)
      follow(memory, kMark, reads(true, kStart + passed), {Metres{1.0}, kStart}, kPatience);
    CHECK(memory.agreed == Side::below);
  }
  SECTION("a level within its swing contradicts nobody, and ends the count") {
    MarkMemory memory = after(3s);
    follow(memory, kMark, reads(true), {Metres{1.48}, kStart + 1h}, kPatience);
    follow(memory, kMark, reads(true, kStart + 1h), {Metres{1.0}, kStart + 1h}, kPatience);
    CHECK(memory.agreed == Side::below);
  }
  SECTION("it is a witness again once the two agree") {
    MarkMemory memory = after(1min);
    follow(memory, kMark, reads(false), {Metres{1.0}, kStart + 2min}, kPatience);
    CHECK(memory.agreed == Side::below);
  }
}
