// From reading to belief: each check of the row has its own reason, comes in its turn, and ends again.

#include <chrono>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/trust_bench.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::TrustBench;

TEST_CASE("trust: one spike changes nothing, and a gauge that only spikes goes stale with its reason",
          "[reading][trust]") {
  TrustBench bench;
  REQUIRE(bench.settle(1.5).usable());
  const Level during = bench.level(0.7);
  CHECK(during.usable());
  CHECK(during.level->value() == Approx(1.5).margin(0.003));
  CHECK(bench.level(1.501).quality == Quality::good);
  Level last;
  for (const double wild : {0.7, 2.1, 1.0, 2.2})
    last = bench.level(wild);
  CHECK_FALSE(last.usable());
  CHECK(last.reason == Reason::jump);
}

TEST_CASE("trust: a jump ages what was accepted and is bad once that is stale", "[reading][trust]") {
  TrustBench bench;
  bench.settle(1.5);
  const Instant last_good = bench.now;
  Level level;
  for (int i = 0; i < 4; ++i) {
    level = bench.level(2.2);
    CHECK(level.usable() == (bench.now - last_good <= bench.rules.stale_after));
  }
  CHECK(level.reason == Reason::jump);
}

TEST_CASE("plateau: it is one after three readings in a row, and a spike is none of them",
          "[reading][trust][rule-4]") {
  TrustBench bench;
  bench.settle(1.5);
  CHECK_FALSE(plateau(bench.memory, bench.rules));
  for (int i = 0; i < 12; ++i)
    bench.level(2.2);
  REQUIRE(plateau(bench.memory, bench.rules));
  CHECK(plateau(bench.memory, bench.rules)->value() == Approx(2.2));
  bench.level(0.7);
  CHECK_FALSE(plateau(bench.memory, bench.rules));
  for (int i = 0; i < 2; ++i) {
    bench.level(2.2);
    CHECK_FALSE(plateau(bench.memory, bench.rules));
  }
  bench.level(2.2);
  CHECK(plateau(bench.memory, bench.rules));
}

TEST_CASE("plateau: a reading that is accepted in between begins the count anew",
          "[reading][trust][rule-4]") {
  TrustBench bench;
  bench.rules.settle.spikes = 0;
  bench.rules.stale_after = 1s;
  bench.settle(1.5);
  for (const double level : {2.2, 1.5, 2.2, 2.2})
    bench.level(level);
  CHECK_FALSE(plateau(bench.memory, bench.rules));
  bench.level(2.2);
  CHECK(plateau(bench.memory, bench.rules));
}

TEST_CASE("rule 4: a plateau that no water can have reached is never accepted by itself",
          "[reading][trust][interlock]") {
  TrustBench bench;
  bench.settle(1.5);
  for (int second = 0; second < 7200; ++second)  // at 60 mm/min the water itself could be there in 12 minutes
    REQUIRE_FALSE((bench.level(2.2 + 0.001 * (second % 3)).usable() && second >= 3));
  CHECK(waits_for_confirmation(bench.memory));
  SECTION("until the gauge shows the water again") {
    Level level;
    for (int i = 0; i < 10; ++i)
      level = bench.level(1.4 + 0.001 * (i % 3));
    CHECK(level.usable());
    CHECK_FALSE(waits_for_confirmation(bench.memory));
  }
  SECTION("or somebody says that it is right") {
    confirm(bench.memory);
    CHECK_FALSE(bench.level(2.2).usable());  // a run of good readings first
    CHECK_FALSE(bench.level(2.201).usable());
    CHECK(bench.level(2.2).usable());
  }
}

TEST_CASE("rule 4: a single spike waits for nobody", "[reading][trust][interlock]") {
  TrustBench bench;
  bench.settle(1.5);
  bench.level(2.2);
  CHECK_FALSE(waits_for_confirmation(bench.memory));
}

TEST_CASE("trust: water that rises as fast as it can is followed, also over missing readings",
          "[reading][trust]") {
  TrustBench bench;
  bench.settle(1.0);
  double level = 1.002;
  for (int second = 0; second < 600; ++second) {
    level += 0.001;
    const bool missing = second % 20 == 7 || second % 20 == 8;
    const Level seen = missing ? bench.silence() : bench.level(level);
    REQUIRE(seen.usable());
  }
  CHECK(bench.look().level->value() == Approx(level));
}

TEST_CASE("trust: a surface that may have come into the blind zone is blanking, not a low level",
          "[reading][trust]") {
  const double near_full = 2.85 - 0.26;         // 1 cm below the blind zone
  for (const double shown : {0.9, 2.0, 5.0}) {  // the second echo, another, none at all
    TrustBench bench;
    bench.mounting.margin = Metres{0.2};
    REQUIRE(bench.settle(near_full).usable());
    Level level;
    for (int i = 0; i < 4; ++i)
      level = bench.distance(shown + 0.001 * i);
    INFO(shown);
    CHECK_FALSE(level.usable());
    CHECK(level.reason == Reason::blanking);
  }
  TrustBench low;
  low.settle(1.0);
  CHECK(low.distance(5.0).reason == Reason::beyond_reach);
  CHECK(low.distance(3.2).reason == Reason::outside_span);
}

TEST_CASE("trust: a gauge that stands still while a pump must be moving the water is frozen",
          "[reading][trust]") {
  TrustBench bench;
  bench.settle(1.5);
  for (int i = 0; i < 600; ++i)
    REQUIRE(bench.level(1.5).usable());  // still water proves nothing
  bench.water.at_least = MetresPerSecond{0.0005};
  Level level;
  for (int second = 0; second < 99; ++second)
    REQUIRE(bench.level(1.5).usable());
  for (int second = 0; second < 3; ++second)
    level = bench.level(1.5);
  CHECK_FALSE(level.usable());  // 5 cm at 0.5 mm/s are 100 s
  CHECK(level.reason == Reason::frozen);
  bench.water.at_least = {};
  CHECK(bench.level(1.5).reason == Reason::frozen);
  for (int i = 0; i < 12; ++i)
    level = bench.level(1.53 + 0.001 * (i % 3));
  CHECK(level.usable());
}

TEST_CASE("trust: a stuck echo that jitters is frozen all the same", "[reading][trust]") {
  // Standard deviations that readings "wrong by no more than 1 cm" can have.
  for (const double sigma : {0.0, 0.001, 0.002, 0.003}) {
    for (const int spikes : {7, 0}) {
      TrustBench bench;
      bench.rules.settle.spikes = spikes;
      support::Dice dice{support::seed_or(77)};
      const auto jitter = [&] {
        double normal = -6.0;  // twelve uniform ones: standard deviation 1
        for (int i = 0; i < 12; ++i)
          normal += dice.between(0.0, 1.0);
        return sigma * normal;
      };
      bench.settle(1.5);
      bench.water.at_least = MetresPerSecond{0.0001};  // 5 cm in 500 s
      int seconds = 0;
      while (bench.level(1.5 + jitter()).reason != Reason::frozen && seconds < 7200)
        ++seconds;
      INFO("sigma " << sigma << ", spikes " << spikes);
      CHECK(seconds <= 600);
    }
  }
}

TEST_CASE("trust: a gauge that hangs above the floor is not frozen while the water has not come to it",
          "[reading][trust]") {
  TrustBench bench;
  bench.rules.measures = Measures::depth;
  bench.mounting = {
      .to_floor = Metres{-0.15}, .full = Metres{2.0}, .margin = Metres{0.1}, .lowest = Metres{0.15}};
  bench.water.at_least = MetresPerSecond{0.0005};
  const auto for_seconds = [&](int seconds) {
    Level level;
    for (int i = 0; i < seconds; ++i)
      level = bench.distance(0.0);
    return level;
  };
  CHECK(for_seconds(390).usable());  // 15 cm and 5 cm more at 0.5 mm/s: 400 s
  CHECK(for_seconds(20).reason == Reason::frozen);
}

TEST_CASE("trust: seldom read, a gauge that follows fast water is not frozen by the median's lag",
          "[reading][trust]") {
  TrustBench bench;
  bench.rules.stale_after = 90s;
  bench.rules.settle.lag = 4 * 30s;
  bench.rules.settle.spike_floor = Metres{10.0};
  bench.water.fastest = Fastest{MetresPerSecond{0.1}, MetresPerSecond{0.1}};
  double level = 0.2;
  bench.now += 29s;
  bench.level(level);
  bench.water.at_least = MetresPerSecond{0.004};
  for (int i = 0; i < 12; ++i) {
    level += 0.16;
    bench.now += 29s;
    CHECK(bench.level(level).reason != Reason::frozen);
  }
}

TEST_CASE("trust: a person ends frozen and blanking too, where the gauge shows a level", "[reading][trust]") {
  TrustBench frozen;
  frozen.settle(1.5);
  frozen.water.at_least = MetresPerSecond{0.0005};
  for (int i = 0; i < 150; ++i)
    frozen.level(1.5);
  REQUIRE(frozen.look().reason == Reason::frozen);
  frozen.water.at_least = {};
  confirm(frozen.memory);
  CHECK(frozen.settle(1.5, 3).usable());

  TrustBench near;
  near.mounting.margin = Metres{0.2};
  near.settle(2.59);
  Level level;
  for (int i = 0; i < 10; ++i)
    level = near.level(1.0 + 0.001 * (i % 3));
  REQUIRE(level.reason == Reason::blanking);
  CHECK(waits_for_confirmation(near.memory));
  confirm(near.memory);
  CHECK(near.settle(1.0, 3).usable());
}

TEST_CASE("trust: near the blind zone one false echo changes nothing either", "[reading][trust]") {
  TrustBench bench;
  bench.mounting.margin = Metres{0.2};
  bench.settle(2.59);
  CHECK(bench.level(0.9).usable());
  CHECK(bench.level(2.591).quality == Quality::good);
}

TEST_CASE("trust: a jump that ended, or a line that went silent, waits for nobody", "[reading][trust]") {
  TrustBench bench;
  bench.settle(1.5);
  for (int i = 0; i < 10; ++i)
    bench.level(2.2);
  REQUIRE(waits_for_confirmation(bench.memory));
  bench.silence();
  CHECK_FALSE(waits_for_confirmation(bench.memory));
}

TEST_CASE("trust: foam is noisy, and calm water after it is believed again", "[reading][trust]") {
  TrustBench bench;
  bench.rules.settle.spikes = 0;
  bench.water.fastest.reset();
  bench.settle(1.5);
  Level level;
  for (int i = 0; i < 15; ++i)
    level = bench.level(1.5 + 0.04 * ((i * 7) % 5));
  CHECK_FALSE(level.usable());
  CHECK(level.reason == Reason::noisy);
  CHECK(bench.settle(1.5, 15).usable());
}

TEST_CASE("trust: after a fault it takes three readings in a row, each passing all checks",
          "[reading][trust]") {
  TrustBench bench;
  bench.settle(1.5);
  CHECK(bench.distance(0.1).reason == Reason::blanking);
  CHECK(bench.level(1.5).reason == Reason::starting);
  CHECK(bench.level(1.501).reason == Reason::starting);
  CHECK_FALSE(bench.silence().usable());
  CHECK(bench.level(1.5).reason == Reason::starting);
  CHECK(bench.level(1.501).reason == Reason::starting);
  CHECK(bench.level(1.5).usable());
}

TEST_CASE("correction: with its air temperature an ultrasonic distance is corrected",
          "[reading][correction]") {
  TrustBench bench;
  bench.rules.correction = {.assumes = Celsius{15.0}, .air = {Celsius{-5.0}, Celsius{45.0}}, .water = {}};
  Level level;
  for (int i = 0; i < 3; ++i) {
    level = bench.show(
        {.value = Metres{1.85}, .air = Celsius{28.0}, .humidity = Percent{60.0}, .fault = Reason::none});
  }
  REQUIRE(level.usable());
  CHECK(level.quality == Quality::good);
  // ISO 9613-1: the speed goes with the root of the absolute temperature; moist air adds a little (Cramer).
  const double dry = 1.85 * std::sqrt((28.0 + 273.15) / (15.0 + 273.15));
  CHECK(level.level->value() < 2.85 - dry);
  CHECK(level.level->value() > 2.85 - dry - 0.01);
  CHECK(level.uncertainty > Metres{0.0});
  CHECK(level.uncertainty < Metres{0.005});
}

TEST_CASE("correction: without it the level is uncertain by what the site's air can do",
          "[reading][correction]") {
  TrustBench bench;
  bench.rules.correction = {.assumes = Celsius{15.0}, .air = {Celsius{-5.0}, Celsius{45.0}}, .water = {}};
  const Level level = bench.settle(1.0);
  REQUIRE(level.usable());
  CHECK(level.quality == Quality::uncertain);
  CHECK(level.reason == Reason::uncorrected);
  const double warmest = 1.85 * (std::sqrt((45.0 + 273.15) / (15.0 + 273.15)) - 1.0);
  CHECK(level.uncertainty.value() >= warmest);
  CHECK(level.uncertainty.value() < warmest + 0.04);  // and what moist air adds
}

TEST_CASE("correction: a lost air temperature widens the doubt and does not move the level",
          "[reading][correction]") {
  TrustBench bench;
  bench.rules.correction = {.assumes = Celsius{15.0}, .air = {Celsius{-5.0}, Celsius{45.0}}, .water = {}};
  Level before;
  for (int i = 0; i < 10; ++i)
    before = bench.show({.value = Metres{1.85}, .air = Celsius{40.0}, .fault = Reason::none});
  Level level;
  for (int i = 0; i < 1200; ++i) {
    level = bench.distance(1.85);
    REQUIRE(level.usable());
    REQUIRE(level.level->value() == Approx(before.level->value()));
  }
  CHECK(level.quality == Quality::uncertain);
  const double coldest = 1.85 * std::sqrt((-5.0 + 273.15) / (15.0 + 273.15));
  CHECK(level.highest().value() >= 2.85 - coldest);
}

TEST_CASE("correction: air that the site cannot have is a broken thermometer's", "[reading][correction]") {
  TrustBench bench;
  bench.rules.correction = {.assumes = Celsius{15.0}, .air = {Celsius{-5.0}, Celsius{45.0}}, .water = {}};
  Level level;
  for (const double air : {59.0, -30.0, std::nan("")}) {
    bench.memory = {};
    for (int i = 0; i < 3; ++i)
      level = bench.show({.value = Metres{1.85}, .air = Celsius{air}, .fault = Reason::none});
    CHECK(level.quality == Quality::uncertain);
    CHECK(level.level->value() == Approx(1.0));
  }
}

TEST_CASE("correction: air that comes back moves the level and loses no reading", "[reading][correction]") {
  TrustBench bench;
  bench.rules.correction = {.assumes = Celsius{15.0}, .air = {Celsius{-5.0}, Celsius{45.0}}, .water = {}};
  REQUIRE(bench.settle(1.0).quality == Quality::uncertain);
  const Level level = bench.show({.value = Metres{1.85}, .air = Celsius{40.0}, .fault = Reason::none});
  CHECK(level.quality == Quality::good);
  CHECK(level.at == bench.now);
}

TEST_CASE("correction: a submerged gauge that tells the water's temperature is corrected for its density",
          "[reading][correction]") {
  TrustBench bench;
  bench.rules.measures = Measures::depth;
  bench.rules.correction.water = TemperatureRange{Celsius{4.0}, Celsius{30.0}};
  bench.mounting = {.to_floor = Metres{0.0}, .full = Metres{5.0}, .margin = Metres{0.2}};
  Level level;
  for (int i = 0; i < 3; ++i)
    level = bench.show({.value = Metres{4.0}, .water = Celsius{30.0}, .fault = Reason::none});
  // 995.6502 kg/m3 at 30 degC: tests/reference/07, Tanaka et al. 2001.
  CHECK(level.level->value() == Approx(4.0 * 1000.0 / 995.6502).margin(1e-5));
  CHECK(level.quality == Quality::good);
  TrustBench blind = bench;
  blind.memory = {};
  for (int i = 0; i < 3; ++i)
    level = blind.distance(4.0);
  CHECK(level.quality == Quality::uncertain);
  CHECK(level.highest().value() >= 4.0 * 1000.0 / 995.6502);
}
