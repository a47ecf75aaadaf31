// Minimum night flow, with the figures of 13 (the source of each is in the file).

#include "stillwell/tank/night_flow.hpp"

#include <chrono>
#include <cmath>
#include <functional>
#include <string>

#include "support/bench_csv.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr LitresPerSecond per_hour(double litres) {
  return LitresPerSecond{litres / 3600.0};
}

NightRules four_litres_an_hour() {
  return {.from_minute = 60, .to_minute = 240, .more_than = per_hour(4.0)};
}

/// One look a minute from noon to noon; `outflow` is in L/h by minute of the day, NaN where unknown.
std::vector<Night> nights(const NightRules& rules, int days, const std::function<double(int)>& outflow) {
  NightFlow flow{rules};
  std::vector<Night> told;
  for (int minute = 0; minute < days * 1440; ++minute) {
    const int of_day = (minute + 720) % 1440;
    const double hourly = outflow(of_day);
    Balance balance{.elapsed = 1min};
    if (!std::isnan(hourly)) balance.change = Litres{-hourly / 60.0};
    if (const auto night = flow.step(of_day, balance)) told.push_back(*night);
  }
  return told;
}

Night one_night(const NightRules& rules, const std::function<double(int)>& outflow) {
  const auto told = nights(rules, 1, outflow);
  REQUIRE(told.size() == 1);
  return told.front();
}

double hourly(const Night& night) {
  REQUIRE(night.minimum);
  return night.minimum->value() * 3600.0;
}

}  // namespace

TEST_CASE("night flow: a leak above the limit is told, one at it is not", "[tank][night]") {
  const auto steady = [](double litres) { return [litres](int) { return litres; }; };
  const Night leak = one_night(four_litres_an_hour(), steady(4.1));
  CHECK(leak.known == 1.0);
  CHECK(hourly(leak) == Approx(4.1).epsilon(1e-9));
  CHECK(leak.leak);
  CHECK_FALSE(one_night(four_litres_an_hour(), steady(3.9)).leak);
  CHECK_FALSE(one_night(four_litres_an_hour(), steady(0.0)).leak);
}

TEST_CASE("night flow: one use in the night is no leak, a leak shows in every hour", "[tank][night]") {
  // A 10 L flush at 02:30 (the default of 13), in a window of three hours.
  const auto flush = [](int minute) { return minute == 150 ? 600.0 : 0.0; };
  const Night used = one_night(four_litres_an_hour(), flush);
  CHECK_FALSE(used.leak);
  CHECK(hourly(used) == Approx(0.0).margin(1e-9));
  const Night both = one_night(four_litres_an_hour(), [&](int minute) { return 6.0 + flush(minute); });
  CHECK(both.leak);
  CHECK(hourly(both) == Approx(6.0).epsilon(1e-9));
}

TEST_CASE("night flow: is asked across midnight, and once a night", "[tank][night]") {
  const NightRules rules{.from_minute = 23 * 60, .to_minute = 2 * 60, .more_than = per_hour(4.0)};
  const auto told = nights(rules, 5, [](int minute) { return minute >= 1380 || minute < 120 ? 5.0 : 500.0; });
  REQUIRE(told.size() == 5);
  for (const Night& night : told) {
    CHECK(night.leak);
    CHECK(night.known == 1.0);
    CHECK(night.minimum->value() * 3600.0 == Approx(5.0).epsilon(1e-9));
  }
}

TEST_CASE("night flow: an hour that is partly unknown is left out, a night of them tells nothing",
          "[tank][night]") {
  const double none = std::nan("");
  // Three hours are 18 slots of ten minutes and 12 rolling means. One unknown slot takes seven of them at
  // most, none of its own length.
  const Night late =
      one_night(four_litres_an_hour(), [none](int minute) { return minute == 230 ? none : 9.0; });
  CHECK(late.known == Approx(11.0 / 12.0));
  CHECK(late.leak);
  const Night middle =
      one_night(four_litres_an_hour(), [none](int minute) { return minute == 150 ? none : 9.0; });
  CHECK(middle.known < 0.8);
  CHECK_FALSE(middle.told);
  CHECK_FALSE(middle.leak);
  REQUIRE(middle.minimum);
  CHECK(hourly(middle) == Approx(9.0).epsilon(1e-9));
  const Night blind = one_night(four_litres_an_hour(), [none](int) { return none; });
  CHECK_FALSE(blind.minimum);
  CHECK_FALSE(blind.told);
  NightRules content_with_nothing = four_litres_an_hour();
  content_with_nothing.enough = 0.0;
  CHECK_FALSE(one_night(content_with_nothing, [none](int) { return none; }).told);
}

TEST_CASE("night flow: unknown time is never taken for no flow", "[tank][night]") {
  // Whatever left in the unknown half is not in the balance; the rest must not look like a small flow.
  const double none = std::nan("");
  for (int from = 60; from < 240; from += 7) {
    const Night night = one_night(
        four_litres_an_hour(), [=](int minute) { return minute >= from && minute < from + 20 ? none : 9.0; });
    INFO("unknown from minute " << from);
    if (night.minimum) CHECK(hourly(night) == Approx(9.0).epsilon(1e-9));
  }
}

TEST_CASE("night flow: a clock put back at night begins the window anew", "[tank][night]") {
  NightFlow flow{four_litres_an_hour()};
  const Balance steady{.elapsed = 1min, .change = Litres{-0.1}};
  std::optional<Night> told;
  for (int minute = 50; minute < 175; ++minute)
    CHECK_FALSE(flow.step(minute, {.elapsed = 1min, .change = Litres{0.0}}));
  for (int minute = 60; minute <= 240; ++minute)
    told = flow.step(minute, steady);
  REQUIRE(told);
  CHECK(told->known == 1.0);
  CHECK(told->minimum->value() * 3600.0 == Approx(6.0).epsilon(1e-9));
}

TEST_CASE("night flow: a bridged pause leaves its slots out and shifts none", "[tank][night]") {
  for (int pause = 60; pause < 200; pause += 7) {
    NightFlow flow{four_litres_an_hour()};
    std::optional<Night> told;
    int last = 55;
    for (int minute = 56; minute <= 240; ++minute) {
      if (minute >= pause && minute < pause + 25) continue;
      told = flow.step(minute, {.elapsed = std::chrono::minutes{minute - last},
                                .change = Litres{-0.15 * (minute - last)}});
      last = minute;
    }
    INFO("pause from minute " << pause);
    REQUIRE(told);
    // From minute 102, the slot of 110 to 119 is left out: five slots before it, twelve after.
    if (pause == 102) CHECK(told->known == 0.5);
    if (told->minimum) CHECK(hourly(*told) == Approx(9.0).epsilon(1e-9));
  }
}

TEST_CASE("night flow: a slot seen only in part is dated by when it was seen", "[tank][night]") {
  NightFlow flow{four_litres_an_hour()};
  std::optional<Night> told;
  int last = 55;
  for (int minute = 56; minute <= 240; ++minute) {
    if (minute % 10 >= 3 && minute % 20 >= 10) continue;  // seven minutes of every second slot
    told = flow.step(
        minute, {.elapsed = std::chrono::minutes{minute - last}, .change = Litres{-0.15 * (minute - last)}});
    last = minute;
  }
  REQUIRE(told);
  CHECK(told->known == 1.0);
  CHECK(hourly(*told) == Approx(9.0).epsilon(1e-9));
}

TEST_CASE("night flow: a day without a look parts two nights", "[tank][night]") {
  NightFlow flow{four_litres_an_hour()};
  for (int minute = 60; minute < 160; ++minute)
    CHECK_FALSE(flow.step(minute, {.elapsed = 1min, .change = Litres{0.0}}));
  CHECK_FALSE(flow.step(160, {.elapsed = 24h, .change = {}}));
  std::optional<Night> told;
  for (int minute = 161; minute <= 240; ++minute)
    told = flow.step(minute, {.elapsed = 1min, .change = Litres{-0.1}});
  REQUIRE(told);
  if (told->minimum) CHECK(hourly(*told) == Approx(6.0).epsilon(1e-9));
  CHECK_FALSE(told->told);
}

TEST_CASE("night flow: entered halfway, the night is not known well enough", "[tank][night]") {
  NightFlow flow{four_litres_an_hour()};
  const Balance steady{.elapsed = 1min, .change = Litres{-0.1}};
  for (int minute = 120; minute < 240; ++minute)
    CHECK_FALSE(flow.step(minute, steady));
  const auto told = flow.step(240, steady);
  REQUIRE(told);
  CHECK(told->known == 0.5);
  CHECK_FALSE(told->told);
}

TEST_CASE("night flow: a window no longer than its mean never tells", "[tank][edges]") {
  const auto steady = [](int) { return 50.0; };
  const NightRules hour{.from_minute = 60, .to_minute = 120, .more_than = per_hour(4.0)};
  CHECK_FALSE(one_night(hour, steady).told);
  const NightRules nothing{.from_minute = 60, .to_minute = 60, .more_than = per_hour(4.0)};
  CHECK(nights(nothing, 2, steady).empty());
}

TEST_CASE("night flow: a limit that is none is never exceeded", "[tank][edges]") {
  NightRules rules = four_litres_an_hour();
  rules.more_than = LitresPerSecond{std::nan("")};
  CHECK_FALSE(one_night(rules, [](int) { return 50.0; }).leak);
}

TEST_CASE("night flow: the noise of a gauge does not hide or make a leak", "[tank][property]") {
  const std::uint64_t seed = support::seed_or(13);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  // Readings each second, ± 9 L (2 mm on 4.5 m2), against a limit of 4 L/h.
  const auto with_noise = [&dice](double leak) {
    NightFlow flow{four_litres_an_hour()};
    double before = 0.0;
    std::optional<Night> told;
    for (int second = 59 * 60; second <= 240 * 60; ++second) {
      const double shown = -leak * second / 3600.0 + dice.between(-9.0, 9.0);
      told = flow.step(second / 60, {.elapsed = 1s, .change = Litres{shown - before}});
      before = shown;
    }
    REQUIRE(told);
    REQUIRE(told->told);
    return told->leak;
  };
  for (int round = 0; round < 20; ++round) {
    CHECK(with_noise(6.0));
    CHECK_FALSE(with_noise(3.0));
  }
}

TEST_CASE("night flow: the window and the night use of published districts", "[tank][reference]") {
  const support::Csv csv{"13_leak_practice.csv"};
  int checked = 0;
  for (std::size_t row = 0; row < csv.size(); ++row) {
    if (csv.at(row, "item") == "usual window") {
      CHECK(csv.at(row, "published_value") == "02:00-04:00");
      CHECK(NightRules{}.from_minute == 120);
      CHECK(NightRules{}.to_minute == 240);
      CHECK(NightRules{}.rolling_minutes == 60);
      ++checked;
    }
    if (csv.at(row, "item") != "mains background + flushing") continue;
    // With what people may use as the limit, a flow of that is no leak and any more is one.
    const double use = std::stod(csv.at(row, "own_value"));
    NightRules rules;
    rules.more_than = per_hour(use);
    const Night quiet = one_night(rules, [use](int) { return use * 0.999; });
    const Night leaky = one_night(rules, [use](int) { return use * 1.001; });
    CHECK_FALSE(quiet.leak);
    CHECK(leaky.leak);
    CHECK(hourly(leaky) - use == Approx(use * 0.001).epsilon(1e-6));  // net night flow
    ++checked;
  }
  CHECK(checked == 4);
}

TEST_CASE("night flow: the tank-test losses of 13 are found as levels fall by them", "[tank][reference]") {
  const support::Csv csv{"13_leak_practice.csv"};
  int checked = 0;
  for (std::size_t row = 0; row < csv.size(); ++row) {
    if (csv.at(row, "section") != "computed level drop") continue;
    const double drop = std::stod(csv.at(row, "own_value"));          // mm a day
    const double depth = std::stod(csv.at(row, "inputs").substr(6));  // "depth 3 m"
    const bool newer = csv.at(row, "item").find("0.05 percent") != std::string::npos;
    const double share = newer ? 0.0005 : 0.001;
    // A tank of 10 m2 that stands so deep: what the share of its contents a day comes to in an hour.
    const double allowed = depth * 10.0 * 1000.0 * share / 24.0;
    const Night night = one_night({}, [drop](int) { return drop * 10.0 / 24.0; });
    CHECK(hourly(night) == Approx(allowed).epsilon(1e-9));
    ++checked;
  }
  CHECK(checked == 8);
}
