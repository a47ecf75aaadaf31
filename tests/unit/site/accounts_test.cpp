// The water accounts: days by hand, with pumps, gaps, restarts and the two odd days of summer time.

#include "stillwell/site/accounts.hpp"

#include <chrono>

#include "support/bench_accounts.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::AccountBench;

namespace {

constexpr std::size_t kHeader = 0;
constexpr std::size_t kCistern = 1;
constexpr std::size_t kLift = 0;

/// The band of a level without noise: 2 mm of 5 m2. The first draw fills it and is not booked.
constexpr double kGrain = 10.0;

double hours(Duration time) {
  return seconds_of(time) / 3600.0;
}

const DayTotals& today(const AccountBench& bench, std::size_t tank = kHeader) {
  REQUIRE(bench.accounts.tanks[tank].account.today);
  return *bench.accounts.tanks[tank].account.today;
}

}  // namespace

TEST_CASE("accounts: a day with a pump run, a house and an hour without readings, by hand",
          "[site][accounts]") {
  AccountBench bench;
  bench.draw[kHeader] = 0.05;
  bench.look_for(6h);
  bench.runs[kLift] = true;
  bench.look_for(1h);
  bench.runs[kLift] = false;
  bench.look_for(5h);
  bench.seen[kHeader] = false;
  bench.look_for(1h);
  bench.seen[kHeader] = true;
  bench.look_for(10h);
  const DayTotals& day = today(bench);
  // 23 h at 180 L/h, less the unknown hour and the look that ended it (the first look began the account).
  CHECK(day.drawn.value() == Approx(0.05 * (23 * 3600 - 3610 - 10) - kGrain).margin(0.1));
  CHECK(day.gained.value() == Approx(0.0).margin(0.1));
  CHECK(day.pumped_in.value() == Approx(3600.0));
  CHECK(day.pumped_out.value() == 0.0);
  CHECK(hours(day.unknown) == Approx(3610.0 / 3600.0).margin(0.001));
  CHECK(hours(day.known) == Approx(23.0 - 3620.0 / 3600.0).margin(0.001));
  // The cistern lost what the header got, and nothing else.
  CHECK(today(bench, kCistern).pumped_out.value() == Approx(3600.0));
  CHECK(today(bench, kCistern).drawn.value() == Approx(0.0).margin(0.1));
  CHECK(bench.accounts.pumps[kLift].moved.value() == Approx(3600.0));
}

TEST_CASE("accounts: while nobody knows what a pump moves, the time of its tanks is unknown",
          "[site][accounts]") {
  AccountBench bench;
  bench.look_for(1h);
  const Duration before = today(bench).known;
  SECTION("it has no nameplate") {
    bench.model.pumps[kLift].flow_rate.reset();
    bench.runs[kLift] = true;
  }
  SECTION("its contact is not confirmed") {
    bench.runs[kLift].reset();
  }
  bench.look_for(30min);
  CHECK(today(bench).known == before);
  CHECK(today(bench).unknown == 30min);
  CHECK(today(bench, kCistern).unknown == 30min);
  CHECK(bench.accounts.pumps[kLift].moved == Litres{0.0});
  bench.runs[kLift] = false;
  bench.look_for(30min);
  CHECK(today(bench).known == before + 30min);
  CHECK(today(bench).drawn == Litres{0.0});
  CHECK(today(bench).gained == Litres{0.0});
}

TEST_CASE("accounts: feedback proves whether a pump runs", "[site][accounts][rule-12]") {
  AccountBench bench;
  bench.model.pumps[kLift].feedback = Feedback{SwitchIndex{0}, 3s};
  bench.switches = {SwitchState{false, Reason::none, {}}};
  bench.look_for(1min);
  bench.runs[kLift] = true;
  bench.lift_l_s = 0.0;
  bench.look_for(10min);  // the contact is on and the motor stands: a fuse
  CHECK(today(bench).pumped_in == Litres{0.0});
  CHECK(today(bench).unknown == 0s);
  bench.switches[0].on = true;
  bench.lift_l_s = 1.0;
  bench.look_for(10min);
  CHECK(today(bench).pumped_in.value() == Approx(600.0));
  bench.switches[0].on.reset();
  bench.look_for(10min);
  CHECK(today(bench).unknown == 10min);
}

TEST_CASE("accounts: a contact read too long ago is not known", "[site][accounts]") {
  AccountBench bench;
  bench.look_for(1min);
  std::vector<Level> levels = bench.last_levels;
  const std::vector<ContactSample> old{{bench.now - 61s, false, Reason::none},
                                       {bench.now, false, Reason::none}};
  for (int i = 0; i < 6; ++i) {
    bench.now += 10s;
    keep_accounts(bench.model, bench.accounts,
                  {bench.now, bench.local(), levels, bench.switches, bench.meters, old}, bench.story);
  }
  CHECK(today(bench).unknown == 1min);
}

TEST_CASE("accounts: a drain pump's water leaves its tank for the receiver", "[site][accounts]") {
  Model model = support::metered_orchard();
  model.pumps[kLift] = model.pumps[1];
  model.pumps[kLift].duty = Duty::drain;
  model.pumps[kLift].tank = TankIndex{kCistern};
  model.pumps[kLift].source = TankIndex{kCistern};
  model.pumps[kLift].receiver = TankIndex{kHeader};
  model.pumps[kLift].contact = ContactIndex{0};
  AccountBench bench{model};
  bench.look();
  bench.runs[kLift] = true;
  bench.look_for(10min);
  CHECK(today(bench).pumped_in.value() == Approx(600.0));
  CHECK(today(bench, kCistern).pumped_out.value() == Approx(600.0));
  CHECK(today(bench, kCistern).drawn.value() == Approx(0.0).margin(1e-6));
}

TEST_CASE("accounts: after a restart the day goes on, and the time between is unknown", "[site][accounts]") {
  AccountBench bench;
  bench.draw[kHeader] = 0.1;
  bench.look_for(10h);
  const Litres drawn = today(bench).drawn;
  const Duration known = today(bench).known;
  bench.litres[kHeader] -= 500.0;  // while nobody looked
  bench.restart(2h);
  bench.look_for(1h);
  CHECK(today(bench).drawn.value() == Approx(drawn.value() + 359.0).margin(1.0));
  CHECK(hours(today(bench).known) == Approx(hours(known) + 1.0).margin(0.01));
  // Since midnight 13 h have passed; 11 of them were seen.
  CHECK(hours(today(bench).unknown) == Approx(2.0).margin(0.02));
}

TEST_CASE("accounts: a start in the middle of the day knows nothing of the morning", "[site][accounts]") {
  AccountBench bench;
  *bench.minutes += 9 * 60;
  bench.look_for(1h);
  CHECK(hours(today(bench).unknown) == Approx(9.0).margin(0.01));
}

TEST_CASE("accounts: at midnight a day is closed and told, and the next one begins", "[site][accounts]") {
  AccountBench bench;
  bench.draw[kHeader] = 0.05;
  bench.look_for(24h + 1h);
  const TankFigures figures = bench.figures(kHeader);
  REQUIRE(figures.before);
  CHECK(figures.before->day == 20000);
  CHECK(figures.before->drawn.value() == Approx(4320.0 - kGrain).margin(2.0));
  CHECK(figures.before->is_complete());
  REQUIRE(figures.today);
  CHECK(figures.today->day == 20001);
  CHECK(figures.today->drawn.value() == Approx(180.0).margin(2.0));
  REQUIRE(bench.story.size() == 2);  // of each tank
  CHECK(bench.story[0].kind == EventKind::service);
  CHECK(bench.story[0].of == "header");
  CHECK(bench.story[0].cause == "day");
  CHECK(bench.story[0].text.find(" L went out in the 24.0 h of it that are known") != std::string::npos);
  REQUIRE(bench.story[0].values.size() == 3);
  CHECK(bench.story[0].values[1].first == "outflow_l");
  CHECK(bench.story[0].values[1].second == Approx(4320.0 - kGrain).margin(2.0));
}

TEST_CASE("accounts: without a trusted clock the days wait, and what was missed is unknown",
          "[site][accounts][rule-21]") {
  AccountBench bench;
  bench.draw[kHeader] = 0.05;
  const auto clock = bench.minutes;
  bench.minutes.reset();
  bench.look_for(3h);
  CHECK_FALSE(bench.accounts.tanks[kHeader].account.today);
  CHECK_FALSE(bench.figures(kHeader).today);
  bench.minutes = clock;
  bench.look_for(2h);
  CHECK(hours(today(bench).known) == Approx(2.0).margin(0.01));
  CHECK(hours(today(bench).unknown) == Approx(3.0).margin(0.01));

  SECTION("once the day was known in this run it goes on by it") {
    bench.minutes.reset();
    bench.look_for(1h);
    CHECK(hours(today(bench).known) == Approx(3.0).margin(0.01));
    CHECK(today(bench).drawn.value() == Approx(3 * 180.0).margin(kGrain + 2.0));
    CHECK(bench.figures(kHeader).today);
  }
  SECTION("after a restart yesterday's totals are not shown as today's") {
    bench.minutes.reset();
    bench.restart(20h);
    bench.look_for(1h);
    CHECK_FALSE(bench.figures(kHeader).today);
    CHECK_FALSE(bench.figures(kHeader).before);
  }
}

TEST_CASE("accounts: days of 23 and of 25 hours are whole days", "[site][accounts]") {
  const int step = GENERATE(60, -60);
  AccountBench bench;
  bench.draw[kHeader] = 0.05;
  bench.look_for(2h);
  *bench.minutes += step;  // 02:00 becomes 03:00, or 01:00 again
  bench.look_for(22h + 30min - std::chrono::minutes{step});
  const TankFigures figures = bench.figures(kHeader);
  REQUIRE(figures.before);
  CHECK(figures.before->day == 20000);
  CHECK(hours(figures.before->known) == Approx(24.0 - step / 60.0).margin(0.01));
  CHECK(figures.before->is_complete());
  CHECK(figures.before->outflow_per_day().value() == Approx(4320.0).margin(kGrain + 2.0));
  CHECK(figures.today->day == 20001);
}

TEST_CASE("accounts: a clock that was far ahead takes the day with it when it comes back",
          "[site][accounts]") {
  AccountBench bench;
  bench.draw[kHeader] = 0.05;
  *bench.minutes += 3000 * 1440;
  bench.look_for(1h);
  *bench.minutes -= 3000 * 1440;
  bench.look_for(1h);
  CHECK(today(bench).day == 20000);
  CHECK(today(bench).drawn.value() == Approx(2 * 180.0).margin(kGrain + 2.0));
}

TEST_CASE("accounts: the rate begins anew with a pump, and says when a tank is full and when it is dry",
          "[site][accounts][rate]") {
  AccountBench bench;
  bench.look_for(10min);
  CHECK(bench.figures(kHeader).rate->slope.value() == Approx(0.0).margin(1e-12));
  CHECK_FALSE(bench.figures(kHeader).to_full);
  CHECK_FALSE(bench.figures(kHeader).to_empty);

  bench.runs[kLift] = true;
  bench.look();
  CHECK_FALSE(bench.figures(kHeader).rate);  // the rate before is no rate of now
  bench.look_for(2min);
  const TankFigures filling = bench.figures(kHeader);
  REQUIRE(filling.rate);
  CHECK(filling.rate->is_meaningful());
  CHECK(filling.rate->slope.value() == Approx(0.0002));  // 1 L/s into 5 m2
  CHECK(filling.flow->slope.value() == Approx(1.0));
  REQUIRE(filling.to_full);
  CHECK(seconds_of(filling.to_full->expected) == Approx(2.45 * 5000.0 - bench.litres[kHeader]));
  CHECK_FALSE(filling.to_empty);
  const TankFigures losing = bench.figures(kCistern);
  REQUIRE(losing.to_empty);  // down to the outlet at 10 cm
  CHECK(seconds_of(losing.to_empty->expected) == Approx(bench.litres[kCistern] - 500.0));

  bench.seen[kHeader] = false;
  bench.look();
  CHECK_FALSE(bench.figures(kHeader).rate);
}

TEST_CASE("accounts: a pump that moves nine tenths of its nameplate shows it after ten hours of running",
          "[site][accounts][wear]") {
  AccountBench bench;
  bench.lift_l_s = 0.9;
  bench.draw[kHeader] = 0.1;
  for (int run = 0; run < 21; ++run) {
    bench.look_for(20min);
    bench.runs[kLift] = true;
    bench.look_for(30min);
    bench.runs[kLift] = false;
    bench.look();
    bench.litres = {6000.0, 6000.0};
    bench.seen[kHeader] = false;  // the refill by hand is not watched
    bench.look();
    bench.seen[kHeader] = true;
  }
  const auto wear = wear_ratio(bench.accounts.pumps[kLift].wear, *bench.model.pumps[kLift].flow_rate);
  REQUIRE(wear);
  CHECK(*wear == Approx(0.9).epsilon(0.01));
  CHECK(bench.accounts.pumps[kLift].moved.value() == Approx(21 * 1800.0));
}

TEST_CASE("accounts: of a tank that nobody judges the least flow of the night is known all the same",
          "[site][accounts][night]") {
  AccountBench bench;
  bench.draw[kHeader] = 9.0 / 3600.0;
  bench.look_for(5h);
  const auto night = bench.figures(kHeader).night;
  REQUIRE(night);
  CHECK(night->minimum->value() * 3600.0 == Approx(9.0).epsilon(0.001));
  CHECK_FALSE(night->leak);
}
