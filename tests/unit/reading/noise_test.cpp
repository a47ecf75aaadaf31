// The spread of readings about their own course.

#include "stillwell/reading/noise.hpp"

#include <chrono>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Instant kStart{1h};

template <class LevelAt>
Noise listened(int readings, LevelAt level_at) {
  Noise noise{60s};
  for (int second = 0; second < readings; ++second)
    noise.add({Metres{level_at(second)}, kStart + std::chrono::seconds{second}});
  return noise;
}

}  // namespace

TEST_CASE("noise: a level that moves steadily has none", "[reading][noise]") {
  const auto spread = listened(40, [](int second) { return 1.0 + 0.01 * second; }).spread();
  REQUIRE(spread);
  CHECK(spread->value() < 1e-12);
}

TEST_CASE("noise: counts as noisy above the limit and not at it", "[reading][noise]") {
  // 1 cm up, level, 1 cm down, again and again.
  const Noise noise = listened(15, [](int second) { return 1.01 - 0.01 * (second % 3); });
  const auto spread = noise.spread();
  REQUIRE(spread);
  CHECK(noise.judge(*spread) == Reason::none);
  CHECK(noise.judge(Metres{spread->value() * (1.0 - 1e-12)}) == Reason::noisy);
  CHECK(noise.judge(Metres{std::nan("")}) == Reason::noisy);
}

TEST_CASE("noise: the estimate is the standard deviation of what scatters, whatever the slope",
          "[reading][property]") {
  const std::uint64_t seed = support::seed_or(15);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  double sum = 0.0;
  constexpr int kRounds = 2000;
  for (int round = 0; round < kRounds; ++round) {
    const double slope = dice.between(-0.01, 0.01);
    const Noise noise = listened(15, [&](int second) {
      double normal = -6.0;  // twelve uniform ones: the classic approximation, standard deviation 1
      for (int i = 0; i < 12; ++i)
        normal += dice.between(0.0, 1.0);
      return 1.0 + slope * second + 0.003 * normal;
    });
    sum += noise.spread()->value();
  }
  // The median of few is biased: within 20 %.
  INFO("mean " << sum / kRounds);
  CHECK(sum / kRounds > 0.0024);
  CHECK(sum / kRounds < 0.0033);
}

TEST_CASE("noise: few wild readings are not noise, half of them are", "[reading][noise]") {
  const auto with_wild = [](int every) {
    return listened(15, [every](int second) { return second % every == 0 ? 1.5 + 0.02 * second : 1.0; });
  };
  CHECK(with_wild(7).judge(Metres{0.005}) == Reason::none);
  Noise rough = listened(15, [](int second) { return 1.0 + 0.05 * ((second * 7) % 5); });
  CHECK(rough.judge(Metres{0.005}) == Reason::noisy);
}

TEST_CASE("noise: a pump that starts and a level that was set anew are none", "[reading][noise]") {
  for (int at = 0; at < 15; ++at) {
    const auto kink = [at](int second) { return 1.0 + (second > at ? 0.05 * (second - at) : 0.0); };
    const auto step = [at](int second) { return second > at ? 1.6 : 1.0; };
    CHECK(listened(15, kink).spread()->value() < 1e-12);
    CHECK(listened(15, step).spread()->value() < 1e-12);
  }
}

TEST_CASE("noise: missing readings change nothing", "[reading][noise]") {
  Noise noise{60s};
  for (const int second : {0, 1, 2, 5, 6, 9, 10, 11, 14, 20})
    noise.add({Metres{1.0 - 0.01 * second}, kStart + std::chrono::seconds{second}});
  CHECK(noise.spread()->value() < 1e-12);
}

TEST_CASE("noise: what began or ended is told within nine readings", "[reading][noise]") {
  Noise noise{60s};
  int began = -1;
  int ended = -1;
  for (int second = 0; second < 90; ++second) {
    const bool rough = second >= 30 && second < 60;
    noise.add(
        {Metres{1.0 + (rough ? 0.02 * ((second * 7) % 5) : 0.0)}, kStart + std::chrono::seconds{second}});
    const bool noisy = noise.judge(Metres{0.005}) == Reason::noisy;
    if (noisy && began < 0) began = second;
    if (!noisy && began >= 0 && ended < 0) ended = second;
  }
  // Noise is the majority of fifteen after eight readings, each judged with the one after it.
  CHECK(began >= 33);
  CHECK(began <= 30 + 8 + 1);
  CHECK(ended >= 60);
  CHECK(ended <= 60 + 8 + 1);
}

TEST_CASE("noise: too few readings say nothing, and so do old ones", "[reading][edges]") {
  const auto rough = [](int second) { return second % 2 == 0 ? 1.2 : 0.8; };
  CHECK_FALSE(listened(6, rough).spread());
  CHECK(listened(6, rough).judge(Metres{0.0}) == Reason::none);
  CHECK(listened(7, rough).spread());
  Noise noise = listened(15, rough);
  noise.add({Metres{1.0}, kStart + 10min});
  CHECK_FALSE(noise.spread());
}

TEST_CASE("noise: a reading that is none, or comes again, is not counted", "[reading][edges]") {
  Noise noise = listened(6, [](int) { return 1.0; });
  noise.add({Metres{std::nan("")}, kStart + 7s});
  noise.add({Metres{1.0}, kStart + 5s});
  CHECK_FALSE(noise.spread());
  noise.add({Metres{1.0}, kStart + 8s});
  CHECK(noise.spread());
}
