// What the clocks of the house show, over midnight and over the two odd days of summer time.

#include "stillwell/service/wall_clock.hpp"

#include <cstdlib>
#include <string>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono;
using namespace std::chrono_literals;

namespace {

/// The process's local time as long as it lives.
class Zone {
 public:
  explicit Zone(const std::string& zone) {
    if (const char* before = std::getenv("TZ")) before_ = before;
    service::use_timezone(zone);
  }
  ~Zone() {
    if (before_.empty()) {
      ::unsetenv("TZ");
    } else {
      ::setenv("TZ", before_.c_str(), 1);
    }
    ::tzset();
  }
  Zone(const Zone&) = delete;
  Zone& operator=(const Zone&) = delete;

 private:
  std::string before_;
};

std::int64_t day_of(year_month_day date) {
  return sys_days{date}.time_since_epoch().count();
}

/// Minutes of a local day in which a pump with this window is on, by the clocks of the house.
int minutes_on(year_month_day date, stillwell::DayWindow window) {
  Pump pump = support::fill_pump();
  pump.allowed = {window};
  pump.limits = {.on_at_least = 0s, .off_at_least = 0s, .run_at_most = 0s, .after_power_up = 0s};
  support::PumpBench bench{pump};
  bench.inputs.tank = bench.asking();
  int on = 0;
  for (Stamp at = sys_days{date} - 2h; at < sys_days{date} + 27h; at += 1min) {
    const auto local = service::to_local(at);
    bench.inputs.minute_of_day = local->minute_of_day;
    bench.scan(1min);
    if (local->day == day_of(date) && bench.on()) ++on;
  }
  return on;
}

}  // namespace

TEST_CASE("wall clock: a window in the hour that summer time skips or repeats opens never or twice",
          "[service][clock][rule-21]") {
  // Europe/Lisbon, at 01:00 UTC: 29 March 2026 01:00 is 02:00, 25 October 2026 02:00 is 01:00 again.
  const Zone zone{"Europe/Lisbon"};
  const DayWindow window{.from = 60 + 15, .to = 60 + 45};
  CHECK(minutes_on(2026y / March / 28, window) == 30);
  CHECK(minutes_on(2026y / March / 29, window) == 0);
  CHECK(minutes_on(2026y / October / 25, window) == 60);
  const DayWindow across{.from = 30, .to = 2 * 60 + 30};
  CHECK(minutes_on(2026y / March / 29, across) == 60);
  CHECK(minutes_on(2026y / October / 25, across) == 180);
}

TEST_CASE("wall clock: the day turns at local midnight", "[service][clock]") {
  const Zone zone{"Asia/Kathmandu"};  // five hours and three quarters ahead
  const Stamp before = sys_days{2026y / March / 1} + 18h + 14min + 59s;
  CHECK(service::to_local(before)->day == day_of(2026y / March / 1));
  CHECK(service::to_local(before)->minute_of_day == 1439);
  CHECK(service::to_local(before + 1s)->day == day_of(2026y / March / 2));
  CHECK(service::to_local(before + 1s)->minute_of_day == 0);
}

TEST_CASE("wall clock: days of 23 and of 25 hours", "[service][clock]") {
  const Zone zone{"Europe/Lisbon"};  // since 1996: last Sundays of March and October, at 01:00 UTC
  const auto hours_of = [](year_month_day date) {
    int minutes_in_day = 0;
    for (Stamp at = sys_days{date} - 26h; at < sys_days{date} + 52h; at += 1min) {
      if (service::to_local(at)->day == day_of(date)) ++minutes_in_day;
    }
    return minutes_in_day / 60.0;
  };
  CHECK(hours_of(2026y / March / 28) == 24.0);
  CHECK(hours_of(2026y / March / 29) == 23.0);
  CHECK(hours_of(2026y / October / 25) == 25.0);
}

TEST_CASE("wall clock: a clock past the newest stamp is trusted", "[service][clock][rule-21]") {
  const auto now = service::trusted_now(service::wall_now() - 1h);
  REQUIRE(now.has_value());
  const auto of_now = service::to_local(*now);
  CHECK(of_now->day >= day_of(2026y / January / 1) - 3650);
}
