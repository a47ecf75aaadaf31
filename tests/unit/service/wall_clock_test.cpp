// What the clocks of the house show, over midnight and over the two odd days of summer time.

#include "stillwell/service/wall_clock.hpp"

#include <cstdlib>
#include <string>

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

}  // namespace

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
  CHECK(service::local_now(service::wall_now() - 1h).has_value());
  const auto of_now = service::local_now(service::wall_now() - 1h);
  CHECK(of_now->day >= day_of(2026y / January / 1) - 3650);
}
