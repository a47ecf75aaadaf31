// What pumps do not explain, and what counts as unknown.

#include "stillwell/tank/water_balance.hpp"

#include <chrono>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {
constexpr Instant kStart{1h};
}

TEST_CASE("balance: a change of contents is what pumps do not explain", "[tank][balance]") {
  WaterBalance balance{1min};
  CHECK(balance.step({.at = kStart, .volume = Litres{1000.0}}).elapsed == 0s);
  // In ten seconds a pump brings 10 L, another takes 5 L, and 12 L more are there: 7 L came by themselves.
  const auto settled = balance.step({.at = kStart + 10s,
                                     .volume = Litres{1012.0},
                                     .pumps = PumpFlow{LitresPerSecond{1.0}, LitresPerSecond{0.5}}});
  REQUIRE(settled.change);
  CHECK(settled.elapsed == 10s);
  CHECK(settled.change->value() == Approx(7.0));
  CHECK(settled.pumped_in.value() == Approx(10.0));
  CHECK(settled.pumped_out.value() == Approx(5.0));
}

TEST_CASE("balance: a pause within the limit is bridged, a longer one is unknown", "[tank][balance]") {
  const auto after_pause = [](Duration pause) {
    WaterBalance balance{1min};
    balance.step({.at = kStart, .volume = Litres{1000.0}});
    Duration known{0};
    Duration unknown{0};
    std::optional<Litres> change;
    const auto take = [&](const Balance& settled) {
      (settled.change ? known : unknown) += settled.elapsed;
      if (settled.change) change = settled.change;
    };
    for (Duration at = 1s; at < pause; at += 1s)
      take(balance.step({.at = kStart + at}));
    take(balance.step({.at = kStart + pause, .volume = Litres{900.0}}));
    CHECK(known + unknown == pause);
    return known == pause && change == Litres{-100.0};
  };
  CHECK(after_pause(60s));
  CHECK_FALSE(after_pause(61s));
  CHECK_FALSE(after_pause(10h));
}

TEST_CASE("balance: without a look in between, a long pause is just as unknown", "[tank][balance]") {
  WaterBalance balance{1min};
  balance.step({.at = kStart, .volume = Litres{1000.0}});
  const auto pause = balance.step({.at = kStart + 2h, .volume = Litres{500.0}});
  CHECK(pause.elapsed == 2h);
  CHECK_FALSE(pause.change);
  const auto next = balance.step({.at = kStart + 2h + 1s, .volume = Litres{499.0}});
  REQUIRE(next.change);
  CHECK(next.change->value() == Approx(-1.0));
}

TEST_CASE("balance: while a pump of unknown flow runs, the time is unknown", "[tank][balance]") {
  WaterBalance balance{1min};
  balance.step({.at = kStart, .volume = Litres{1000.0}});
  CHECK_FALSE(balance.step({.at = kStart + 1s, .volume = Litres{1001.0}, .pumps = {}}).change);
  const double none = std::nan("");
  const auto broken_meter = balance.step({.at = kStart + 2s,
                                          .volume = Litres{1002.0},
                                          .pumps = PumpFlow{LitresPerSecond{none}, LitresPerSecond{0.0}}});
  CHECK_FALSE(broken_meter.change);
  CHECK(balance.step({.at = kStart + 3s, .volume = Litres{1002.0}}).change == Litres{0.0});
}

TEST_CASE("balance: an unknown pump within a bridged pause spoils the pause, not what follows",
          "[tank][balance]") {
  WaterBalance balance{1min};
  balance.step({.at = kStart, .volume = Litres{1000.0}});
  CHECK(balance.step({.at = kStart + 5s, .volume = {}, .pumps = {}}).elapsed == 0s);
  const auto pause = balance.step({.at = kStart + 10s, .volume = Litres{1100.0}});
  CHECK(pause.elapsed == 10s);
  CHECK_FALSE(pause.change);
  CHECK(balance.step({.at = kStart + 11s, .volume = Litres{1100.0}}).change == Litres{0.0});
}

TEST_CASE("balance: a volume that is none is no volume, and time never runs back", "[tank][edges]") {
  WaterBalance balance{1min};
  balance.step({.at = kStart, .volume = Litres{1000.0}});
  CHECK(balance.step({.at = kStart + 1s, .volume = Litres{std::nan("")}}).elapsed == 0s);
  CHECK(balance.step({.at = kStart - 1h, .volume = Litres{5.0}}).elapsed == 0s);
  CHECK(balance.step({.at = kStart + 2s, .volume = Litres{1000.0}}).change == Litres{0.0});
}

TEST_CASE("balance: every second is settled once, and known litres add up to the truth", "[tank][property]") {
  const std::uint64_t seed = support::seed_or(2026);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 100; ++round) {
    WaterBalance balance{30s};
    Litres truth{5000.0};
    Litres untold{0.0};  // true change since the last settled stretch
    Duration settled_time{0};
    Instant now = kStart;
    balance.step({.at = now, .volume = truth});
    for (int i = 0; i < 500; ++i) {
      const Duration pass = std::chrono::milliseconds{100 + dice.roll(20000)};
      now += pass;
      const LitresPerSecond pump{dice.one_in(3) ? 1.5 : 0.0};
      const Litres others{dice.between(-5.0, 2.0)};
      truth += others + Litres{pump.value() * seconds_of(pass)};
      untold += others;
      const bool blind = dice.one_in(4);
      const auto settled = balance.step({.at = now,
                                         .volume = blind ? std::nullopt : std::optional{truth},
                                         .pumps = PumpFlow{pump, LitresPerSecond{0.0}}});
      settled_time += settled.elapsed;
      if (settled.elapsed == 0s) continue;
      if (settled.change) REQUIRE(settled.change->value() == Approx(untold.value()).margin(1e-8));
      untold = Litres{0.0};
    }
    const auto last = balance.step({.at = now + 1h});
    CHECK(settled_time + last.elapsed == now + 1h - kStart);
  }
}
