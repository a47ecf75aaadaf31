#pragma once
// A tank's daily account: how much came, how much was drawn, and for how long nobody knows. The caller says
// which day it is (any number that grows by one at local midnight), so that no clock is read here.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/tank/water_balance.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

namespace stillwell {

struct DayTotals {
  std::int64_t day = 0;
  Litres drawn{};   ///< left the tank otherwise than through a pump that is accounted for
  Litres gained{};  ///< came otherwise than through one
  Litres pumped_in{};
  Litres pumped_out{};
  Duration known{0};
  Duration unknown{0};  ///< of a closed day: whatever of its 24 h is not known

  [[nodiscard]] Litres inflow() const { return gained + pumped_in; }
  [[nodiscard]] Litres outflow() const { return drawn + pumped_out; }
  /// Enough of the day is known to stand for the whole of it: all but a tenth. Common practice, no source.
  [[nodiscard]] bool is_complete() const;
  /// All that left the tank, for 24 h at the known time's mean. Only when complete.
  [[nodiscard]] Litres outflow_per_day() const;

  friend bool operator==(const DayTotals&, const DayTotals&) = default;
};

inline constexpr std::size_t kDaysKept = 14;
inline constexpr std::size_t kRecentDays = 7;
inline constexpr std::size_t kFewestDays = 2;

/// All that the account remembers; copied whole into the state file and back.
struct FlowAccount {
  std::optional<DayTotals> today;  ///< empty before the first step
  std::array<DayTotals, kDaysKept> closed{};
  std::size_t closed_count = 0;
  std::size_t closed_next = 0;  ///< where the next closed day goes
  Litres slack{};               ///< movement not yet booked, within ± the grain

  /// The most recent first; 0 is yesterday. Only below closed_count.
  [[nodiscard]] const DayTotals& day_before(std::size_t back) const;

  /// Wherever in the ring the days stand.
  friend bool operator==(const FlowAccount& a, const FlowAccount& b);
};

/// Books a settled stretch. Noise would otherwise be booked as gain and draw by turns, so movement counts
/// only beyond a band of ± `grain` that is dragged along, as play in a gear; each true reversal loses twice
/// the grain. The grain is the volume of the level's noise. A day number that jumped leaves days of which all
/// is unknown; one that went back by a day is booked to today; one that went back by more was wrong before,
/// and today gets the new number.
void book(FlowAccount& account, std::int64_t day, const Balance& balance, Litres grain);

/// Median of the outflow of the last kRecentDays complete days among those kept. Empty below kFewestDays.
std::optional<Litres> recent_draw_per_day(const FlowAccount& account);

/// For how many days the water lasts at the recent draw. Empty when that is unknown or nothing is drawn.
std::optional<double> days_left(const FlowAccount& account, Litres usable);

}  // namespace stillwell
