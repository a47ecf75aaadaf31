#pragma once
// What the alarms of a site ask of a person: how many rise, how many stand, which does so longest and most
// often. Measures are those of the published tables (tests/reference/09_alarm_practice.csv).

#include "stillwell/alarm/alarm.hpp"

#include <optional>
#include <string>
#include <vector>

namespace stillwell {

inline constexpr Duration kFloodTime = std::chrono::minutes{10};
/// A flood begins with more than so many rises in ten minutes, and ends with fewer than so many (ISA-18.2 and
/// IEC 62682, performance metrics as quoted in public).
inline constexpr std::size_t kFloodBegins = 10;
inline constexpr std::size_t kFloodEnds = 5;
/// More than one in ten minutes over a day is over-demanding (HSE, Chemicals Information Sheet CHIS6, quoting
/// EEMUA 191: a long-term average of at most one).
inline constexpr std::size_t kMostADay = 144;

struct LongestStanding {
  std::string id;
  Instant since{};  ///< its condition began
};
struct MostFrequent {
  std::string id;
  std::size_t count = 0;
};

/// An alarm stands while its condition holds and nobody put it aside.
struct AlarmFigures {
  std::size_t last_day = 0;          ///< rises within 24 hours; of one alarm kMostRaised at most
  std::size_t last_ten_minutes = 0;  ///< likewise
  std::size_t standing = 0;
  std::optional<LongestStanding> longest_standing{};
  std::optional<MostFrequent> most_frequent{};  ///< of the last 24 hours; of equals the first of the list
  bool flood = false;

  [[nodiscard]] bool is_over_demanding() const { return last_day > kMostADay; }
};

AlarmFigures alarm_figures(const std::vector<Alarm>& alarms, const std::vector<AlarmMemory>& memories,
                           bool flood, Instant now);

/// Rises of all alarms within the last `time`, a day at most.
std::size_t raised_within(const std::vector<AlarmMemory>& memories, Duration time, Instant now);

/// Whether there is a flood now, when there was one `before` or not.
bool is_flood(bool before, std::size_t last_ten_minutes);

/// The position of the alarm that rose first within the last ten minutes; empty when none did.
std::optional<std::size_t> first_of_flood(const std::vector<AlarmMemory>& memories, Instant now);

}  // namespace stillwell
