#pragma once
// Two kinds of time that never mix. An Instant is monotonic and drives every delay, so a clock step changes
// no timer; a Stamp is wall time and only labels events and opens windows.

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace stillwell {

using Duration = std::chrono::nanoseconds;

inline constexpr Duration kHour = std::chrono::hours{1};
inline constexpr Duration kDay = std::chrono::hours{24};

/// The clock that Instants belong to. It has no now() on purpose: logic is handed the time, and only
/// field/clock.hpp reads a real clock.
struct MonotonicClock {
  using duration = Duration;
  using rep = duration::rep;
  using period = duration::period;
  using time_point = std::chrono::time_point<MonotonicClock>;
  static constexpr bool is_steady = true;
};
using Instant = MonotonicClock::time_point;

using Stamp = std::chrono::sys_time<std::chrono::milliseconds>;

/// The time at the site's place. Windows read the minute, accounts the day; nothing else looks at a clock.
struct LocalTime {
  std::int64_t day = 0;   ///< days since 1970-01-01 of the local date: grows by one at local midnight
  int minute_of_day = 0;  ///< 0..1439; on the two days of summer time some come never, or twice
};

constexpr double seconds_of(Duration d) {
  return std::chrono::duration<double>(d).count();
}

/// A wall stamp as RFC 3339 in UTC with milliseconds, "2026-03-01T04:12:07.250Z".
std::string to_text(Stamp stamp);
/// As to_text prints it, to the letter.
std::optional<Stamp> parse_stamp(std::string_view text);

}  // namespace stillwell
