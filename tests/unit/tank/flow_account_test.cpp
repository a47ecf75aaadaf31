// The daily account: draw, inflow, and how long nobody knew.

#include "stillwell/tank/flow_account.hpp"

#include <chrono>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Litres kNoGrain{0.0};

Balance known(Duration elapsed, double change) {
  return {.elapsed = elapsed, .change = Litres{change}};
}

Balance unknown(Duration elapsed) {
  return {.elapsed = elapsed, .change = {}};
}

/// A day in hours, each drawing the same; the first `blind` of them unknown.
void draw_all_day(FlowAccount& account, std::int64_t day, double litres_an_hour, int blind = 0) {
  for (int hour = 0; hour < 24; ++hour)
    book(account, day, hour < blind ? unknown(1h) : known(1h, -litres_an_hour), kNoGrain);
}

}  // namespace

TEST_CASE("account: draw, gain and what pumps moved are kept apart", "[tank][account]") {
  FlowAccount account;
  book(account, 100, known(1h, -40.0), kNoGrain);
  book(account, 100, known(1h, 15.0), kNoGrain);
  Balance pumped = known(1h, -5.0);
  pumped.pumped_in = Litres{600.0};
  pumped.pumped_out = Litres{20.0};
  book(account, 100, pumped, kNoGrain);
  REQUIRE(account.today);
  CHECK(account.today->drawn.value() == Approx(45.0));
  CHECK(account.today->gained.value() == Approx(15.0));
  CHECK(account.today->inflow().value() == Approx(615.0));
  CHECK(account.today->outflow().value() == Approx(65.0));
  CHECK(account.today->known == 3h);
  CHECK(account.today->unknown == 0s);
}

TEST_CASE("account: a gap is counted as unknown and not as nothing drawn", "[tank][account]") {
  FlowAccount account;
  draw_all_day(account, 100, 10.0, 6);
  book(account, 101, known(1h, 0.0), kNoGrain);
  const DayTotals& yesterday = account.day_before(0);
  CHECK(yesterday.day == 100);
  CHECK(yesterday.drawn.value() == Approx(180.0));
  CHECK(yesterday.unknown == 6h);
  CHECK_FALSE(yesterday.is_complete());
}

TEST_CASE("account: time before the first look of a day is unknown once the day is closed",
          "[tank][account]") {
  FlowAccount account;
  book(account, 100, known(10h, -100.0), kNoGrain);
  book(account, 101, known(1h, 0.0), kNoGrain);
  CHECK(account.day_before(0).known == 10h);
  CHECK(account.day_before(0).unknown == 14h);
}

TEST_CASE("account: days nobody saw stand there as unknown", "[tank][account]") {
  FlowAccount account;
  draw_all_day(account, 100, 10.0);
  book(account, 103, known(1h, -1.0), kNoGrain);
  REQUIRE(account.closed_count == 3);
  CHECK(account.day_before(0).day == 102);
  CHECK(account.day_before(1).day == 101);
  CHECK(account.day_before(1).unknown == 24h);
  CHECK(account.day_before(2).day == 100);
  CHECK(account.day_before(2).drawn.value() == Approx(240.0));
}

TEST_CASE("account: a clock put back books to the day that runs; one put far ahead ends", "[tank][edges]") {
  FlowAccount account;
  book(account, 100, known(1h, -10.0), kNoGrain);
  book(account, 99, known(1h, -10.0), kNoGrain);
  CHECK(account.today->day == 100);
  CHECK(account.today->drawn.value() == Approx(20.0));
  book(account, 90, known(1h, -10.0), kNoGrain);  // 100 was wrong; what was drawn is drawn
  CHECK(account.today->day == 90);
  CHECK(account.today->drawn.value() == Approx(30.0));
  CHECK(account.closed_count == 0);
  book(account, 4'000'000'000'000, known(1h, -10.0), kNoGrain);
  CHECK(account.closed_count == kDaysKept);
  CHECK(account.day_before(0).day == 3'999'999'999'999);
  CHECK(account.day_before(kDaysKept - 1).day == 4'000'000'000'000 - 14);
}

TEST_CASE("account: noise within the grain is neither drawn nor gained", "[tank][account]") {
  const std::uint64_t seed = support::seed_or(7);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  const auto phantom = [&dice](Litres grain) {
    FlowAccount account;
    double before = 0.0;
    for (int second = 0; second < 86400; ++second) {
      const double noise = dice.between(-5.0, 5.0);
      book(account, 1, known(1s, noise - before), grain);
      before = noise;
    }
    return account.today->drawn + account.today->gained;
  };
  CHECK(phantom(Litres{10.0}) == Litres{0.0});
  CHECK(phantom(kNoGrain) > Litres{100000.0});  // what the grain is for
}

TEST_CASE("account: under noise a real draw is still booked, but for the grain at each turn",
          "[tank][property]") {
  const std::uint64_t seed = support::seed_or(8);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 20; ++round) {
    FlowAccount account;
    const double draw = dice.between(200.0, 2000.0);
    const double gain = dice.between(200.0, 2000.0);
    double before = 0.0;
    for (int second = 0; second < 40000; ++second) {
      const double truth = second < 20000 ? -draw * second / 20000 : -draw + gain * (second - 20000) / 20000;
      const double shown = truth + dice.between(-4.0, 4.0);
      book(account, 1, known(1s, shown - before), Litres{8.0});
      before = shown;
    }
    // Once the grain from rest, twice at the turn, and half the noise's width at either end.
    CHECK(account.today->drawn.value() == Approx(draw).margin(16.0));
    CHECK(account.today->gained.value() == Approx(gain).margin(24.0));
  }
}

TEST_CASE("account: days left are the usable water over the median of recent complete days",
          "[tank][account]") {
  FlowAccount account;
  const double litres_an_hour[] = {5.0, 10.0, 1000.0, 11.0, 9.0, 12.0, 8.0, 10.5};
  std::int64_t day = 100;
  for (const double hourly : litres_an_hour)
    draw_all_day(account, day++, hourly);
  book(account, day, known(1s, 0.0), kNoGrain);
  // Of the last seven complete days: 8 9 10 10.5 11 12 1000 an hour.
  const auto draw = recent_draw_per_day(account);
  REQUIRE(draw);
  CHECK(draw->value() == Approx(10.5 * 24.0));
  const auto left = days_left(account, Litres{2520.0});
  REQUIRE(left);
  CHECK(*left == Approx(10.0));
}

TEST_CASE("account: with fewer than two complete days nothing is said of days left", "[tank][account]") {
  FlowAccount account;
  CHECK_FALSE(days_left(account, Litres{1000.0}));
  draw_all_day(account, 1, 10.0);
  draw_all_day(account, 2, 10.0, 3);
  book(account, 3, known(1s, 0.0), kNoGrain);
  CHECK_FALSE(days_left(account, Litres{1000.0}));
  draw_all_day(account, 4, 10.0, 2);
  book(account, 5, known(1s, 0.0), kNoGrain);
  const auto left = days_left(account, Litres{1200.0});
  REQUIRE(left);
  CHECK(*left == Approx(5.0));  // two blind hours are taken as the mean of the other 22
}

TEST_CASE("account: a tenth of the day may be unknown and no more", "[tank][edges]") {
  DayTotals day{.known = 24h - 144min, .unknown = 144min};
  CHECK(day.is_complete());
  day.unknown += 1ns;
  CHECK_FALSE(day.is_complete());
  CHECK_FALSE(DayTotals{}.is_complete());
}

TEST_CASE("account: nothing drawn, or contents that are none, give no days left", "[tank][edges]") {
  FlowAccount account;
  draw_all_day(account, 1, 0.0);
  draw_all_day(account, 2, 0.0);
  book(account, 3, known(1s, 0.0), kNoGrain);
  CHECK(recent_draw_per_day(account) == Litres{0.0});
  CHECK_FALSE(days_left(account, Litres{1000.0}));
  FlowAccount drawn;
  draw_all_day(drawn, 1, 10.0);
  draw_all_day(drawn, 2, 10.0);
  book(drawn, 3, known(1s, 0.0), kNoGrain);
  CHECK(days_left(drawn, Litres{0.0}) == 0.0);
  CHECK_FALSE(days_left(drawn, Litres{std::nan("")}));
}

TEST_CASE("account: a copy carried over a restart goes on where it was", "[tank][account]") {
  FlowAccount straight;
  FlowAccount carried;
  for (std::int64_t day = 1; day <= 20; ++day) {
    draw_all_day(straight, day, static_cast<double>(day));
    FlowAccount loaded = carried;
    draw_all_day(loaded, day, static_cast<double>(day));
    carried = loaded;
  }
  CHECK(recent_draw_per_day(carried) == recent_draw_per_day(straight));
  CHECK(carried.today->drawn == straight.today->drawn);
  CHECK(carried.closed_count == kDaysKept);
}
