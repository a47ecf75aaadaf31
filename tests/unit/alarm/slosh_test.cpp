// A month of a tank that sloshes, seen by a gauge that lies in two of a hundred readings: its low alarm rises
// once for each time that the water truly falls through the set point.

#include "support/slosh.hpp"

#include "stillwell/alarm/alarm.hpp"
#include "stillwell/reading/gauge.hpp"
#include "stillwell/site/water_motion.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <string>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/config_whole.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

/// A month, or a few days where each takes many times as long.
int days() {
  return support::is_brief() ? 3 : 30;
}
constexpr double kSetPoint = 0.15 * support::SloshingTank::kFull;

/// The tank with the defaults of the grammar, but for how fast its water can move and what the alarm says of
/// itself. By default a whole span in a minute is believed, and with it a false echo now and then.
Model header(int every, const std::string& more) {
  return support::whole(
             "site: { id: orchard }\n"
             "lines:\n"
             "  mast: { port: /dev/ttyUSB0, speed: 9600 8N1, carries: range-frames }\n"
             "gauges:\n"
             "  header-top:\n"
             "    line: mast\n"
             "    frame: { kind: binary, start: 0xFF, value: u16be, sum: low-byte, unit: mm }\n"
             "    every: " +
             std::to_string(every) +
             " s\n"
             "    blanking: 25 cm\n"
             "    reach: 4.5 m\n"
             "tanks:\n"
             "  header:\n"
             "    gauge: header-top\n"
             "    to_floor: 2.85 m\n"
             "    to_full: 0.40 m\n"
             "    settle: { fastest: 60 mm/min }\n"
             "    holds: { shape: rectangular, length: 2.5 m, width: 2 m }\n"
             "    alarms:\n"
             "      low: { at: 15 %" +
             more + " }\n")
      .model;
}

struct Month {
  std::uint64_t rises = 0;
  std::uint64_t crossings = 0;  ///< of the true level, downwards
  double farthest = 0.0;        ///< m from the set point, of the true level when the alarm rose
  int worst_day = 0;            ///< the most rises in one
};

/// Scanned each second, as the daemon does.
Month live_through(std::uint64_t seed, int every, const std::string& more,
                   const support::SloshingTank::Range& range) {
  const Model model = header(every, more);
  const Gauge& gauge = model.gauges[0];
  const Mounting& mounting = model.tanks[0].gauges[0].mounting;
  const Alarm& alarm = model.alarms[0];
  const WaterMotion water = water_motion(model, {0}, {}, {});
  support::SloshingTank tank{seed, range};
  GaugeMemory memory;
  AlarmMemory low;
  GaugeSample sample;
  Month month;
  Instant now{1h};
  for (int day = 0; day < days(); ++day) {
    const std::uint64_t before = low.raised_count;
    for (int second = 0; second < support::SloshingTank::kDay; ++second) {
      const double was = tank.level();
      tank.step();
      now += 1s;
      month.crossings += was >= kSetPoint && tank.level() < kSetPoint ? 1U : 0U;
      if (second % every == 0) sample = {.at = now, .value = Metres{tank.distance()}, .fault = Reason::none};
      const Level level = follow(memory, sample, gauge.rules, mounting, water, now);
      follow(low, alarm, condition(alarm, low.active, level), {}, now);
      if (low.state != AlarmState::unacknowledged) continue;
      month.farthest = std::max(month.farthest, std::abs(tank.level() - kSetPoint));
      acknowledge(low, now);
    }
    month.worst_day = std::max(month.worst_day, static_cast<int>(low.raised_count - before));
  }
  month.rises = low.raised_count;
  return month;
}

Month told(const char* what, std::uint64_t seed, int every, const std::string& more,
           const support::SloshingTank::Range& range = {}) {
  const Month month = live_through(seed, every, more, range);
  std::cout << "a month of slosh, a reading each " << every << " s, seed " << seed << ", " << what << ": "
            << month.rises << " rises for " << month.crossings << " true crossings, "
            << 1000.0 * month.farthest << " mm from the set point at most\n";
  return month;
}

std::uint64_t months() {
  return std::getenv("STILLWELL_FULL") == nullptr ? 1 : 12;
}

}  // namespace

TEST_CASE("slosh: the period of a basin's own wave is Merian's", "[alarm][slosh]") {
  CHECK(support::merian_period(2.5, 0.05) == Approx(2.0 * 2.5 / std::sqrt(9.80665 * 0.05)).epsilon(0.01));
}

TEST_CASE("slosh: with default deadband and delay the alarm rises once for each true crossing",
          "[alarm][slosh]") {
  const auto seed = support::seed_or(20260701);
  for (std::uint64_t month = seed; month < seed + months(); ++month) {
    for (const int every : {1, 10}) {
      const Month it = told("default deadband and delay", month, every, "");
      CHECK(it.crossings == static_cast<std::uint64_t>(days()));
      CHECK(it.rises == it.crossings);
      CHECK(it.worst_day == 1);
      CHECK(it.farthest < 0.02);
    }
  }
}

TEST_CASE("slosh: a level that stays around the set point for a month raises it once", "[alarm][slosh]") {
  const support::SloshingTank::Range around{kSetPoint + 0.02, kSetPoint - 0.02};
  const auto seed = support::seed_or(20260703);
  for (std::uint64_t month = seed; month < seed + months(); ++month) {
    const Month it = told("around the set point", month, 1, "", around);
    CHECK(it.crossings == static_cast<std::uint64_t>(days()));
    CHECK(it.rises == 1);
  }
  const Month bare = told("around the set point, no deadband and no delay", seed, 1,
                          ", deadband: 0 %, after: 0 s, clear_after: 0 s", around);
  CHECK(bare.rises > 100);
}

TEST_CASE("slosh: with neither deadband nor delay it chatters", "[alarm][slosh]") {
  const Month it = told("no deadband and no delay", support::seed_or(20260701), 10,
                        ", deadband: 0 %, after: 0 s, clear_after: 0 s");
  CHECK(it.crossings == static_cast<std::uint64_t>(days()));
  CHECK(it.rises > 10 * it.crossings);
}
