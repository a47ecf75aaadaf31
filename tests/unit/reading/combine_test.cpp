// Several gauges on one tank: what they say together, and when nobody can say which of them is well.

#include "stillwell/reading/combine.hpp"

#include <algorithm>
#include <chrono>
#include <vector>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr CombineRules kMedian{.how = Combine::median, .disagree = Metres{0.05}};
constexpr CombineRules kMean{.how = Combine::mean, .disagree = Metres{0.05}};

constexpr Instant kNoon{12h};

Level good(double metres, Instant at = kNoon) {
  return {.level = Metres{metres}, .quality = Quality::good, .reason = Reason::none, .at = at};
}

Level combined(const std::vector<Level>& levels, const CombineRules& rules = kMedian) {
  return combine(levels, rules);
}

}  // namespace

TEST_CASE("rule 3: one gauge alone speaks for itself, well or not", "[reading][combine][interlock]") {
  CHECK(combined({good(1.2)}).level == Metres{1.2});
  CHECK(combined({good(1.2)}).quality == Quality::good);
  CHECK(combined({Level::bad(Reason::blanking, kNoon)}).reason == Reason::blanking);
  CHECK_FALSE(combined({}).usable());
}

TEST_CASE("rule 3: two gauges farther apart than disagree make the tank bad",
          "[reading][combine][interlock]") {
  const Level agree = combined({good(1.00), good(1.049)});
  REQUIRE(agree.usable());
  CHECK(agree.quality == Quality::good);
  CHECK(agree.level->value() == Approx(1.0245));
  const Level apart = combined({good(1.00), good(1.051)});
  CHECK_FALSE(apart.usable());
  CHECK(apart.reason == Reason::disagree);
}

TEST_CASE("rule 3: of three the odd one is dropped, as long as two agree", "[reading][combine][interlock]") {
  const Level two_of_three = combined({good(1.00), good(1.02), good(2.30)});
  REQUIRE(two_of_three.usable());
  CHECK(two_of_three.level->value() == Approx(1.01));
  CHECK(two_of_three.quality == Quality::uncertain);  // the next failure leaves two that may contradict
  CHECK(two_of_three.reason == Reason::disagree);
  CHECK(combined({good(0.50), good(1.00), good(1.50)}).reason == Reason::disagree);
  CHECK_FALSE(combined({good(0.50), good(1.00), good(1.50)}).usable());
}

TEST_CASE("rule 3: that gauges contradict each other is said whatever else ails one, in any order",
          "[reading][combine][interlock]") {
  Level noisy = good(1.01);
  noisy.quality = Quality::uncertain;
  noisy.reason = Reason::noisy;
  std::vector<Level> levels{noisy, good(1.00), good(2.30), Level::bad(Reason::no_answer, kNoon)};
  std::vector<std::size_t> order{0, 1, 2, 3};
  do {
    std::vector<Level> shuffled;
    for (const std::size_t at : order)
      shuffled.push_back(levels[at]);
    const Level level = combined(shuffled);
    REQUIRE(level.usable());
    CHECK(level.reason == Reason::disagree);
    CHECK(level.agreeing == 2);
  } while (std::next_permutation(order.begin(), order.end()));
  CHECK(combined({good(1.0), Level::bad(Reason::stale, kNoon)}).agreeing == 0);
}

TEST_CASE("rule 3: two pairs that contradict each other leave nothing", "[reading][combine][interlock]") {
  CHECK_FALSE(combined({good(0.50), good(0.51), good(1.50), good(1.51)}).usable());
  CHECK(combined({good(1.00), good(1.01), good(1.02), good(1.51)}).usable());
}

TEST_CASE("rule 3: the mean and the median are those of the gauges that agree", "[reading][combine]") {
  const std::vector<Level> levels{good(1.00), good(1.01), good(1.04), good(2.0)};
  CHECK(combined(levels, kMedian).level->value() == Approx(1.01));
  CHECK(combined(levels, kMean).level->value() == Approx(3.05 / 3.0));
}

TEST_CASE("combine: a gauge that is lost makes the rest uncertain and gives its reason",
          "[reading][combine]") {
  const Level one_left = combined({good(1.0), Level::bad(Reason::no_answer, kNoon)});
  REQUIRE(one_left.usable());
  CHECK(one_left.level == Metres{1.0});
  CHECK(one_left.quality == Quality::uncertain);
  CHECK(one_left.reason == Reason::no_answer);
  const Level none = combined({Level::bad(Reason::frozen, kNoon), Level::bad(Reason::no_answer, kNoon + 3s)});
  CHECK_FALSE(none.usable());
  CHECK(none.reason == Reason::frozen);
  CHECK(none.at == kNoon + 3s);
}

TEST_CASE("combine: the doubt is the widest, and the age the oldest, of those that count",
          "[reading][combine]") {
  Level wide = good(1.0, kNoon + 5s);
  wide.uncertainty = Metres{0.08};
  wide.quality = Quality::uncertain;
  wide.reason = Reason::uncorrected;
  const Level both = combined({good(1.01, kNoon), wide});
  CHECK(both.uncertainty == Metres{0.08});
  CHECK(both.reason == Reason::uncorrected);
  CHECK(both.at == kNoon);
}

TEST_CASE("rule 3: whatever the gauges say, a usable level lies within disagree of two of them",
          "[reading][combine][property]") {
  const std::uint64_t seed = support::seed_or(33);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  int usable = 0;
  for (int round = 0; round < 20000; ++round) {
    std::vector<Level> levels;
    const int count = 2 + dice.roll(static_cast<int>(kMostGauges) - 1);
    for (int i = 0; i < count; ++i)
      levels.push_back(dice.roll(5) == 0 ? Level::bad(Reason::stale, kNoon) : good(dice.between(1.0, 1.2)));
    const Level level = combined(levels, dice.roll(2) == 0 ? kMean : kMedian);
    if (!level.usable()) continue;
    ++usable;
    int near = 0;
    int well = 0;
    for (const Level& each : levels) {
      if (!each.usable()) continue;
      ++well;
      if (std::abs((*each.level - *level.level).value()) <= 0.05 + 1e-12) ++near;
    }
    REQUIRE(near >= std::min(well, 2));
  }
  CHECK(usable > 2000);
}
