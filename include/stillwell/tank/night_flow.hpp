#pragma once
// Minimum night flow: when nobody draws, what still leaves the tank is a leak. Thornton J., Sturm R., Kunkel
// G., Water Loss Control, 2nd ed.: a window such as 02:00-04:00; the minimum rolling hour is the figure that
// UKWIR 99/WM/08/21 ranks. One toilet flush spoils an hour, a leak none: so the leak must show in every hour
// of the window.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/tank/water_balance.hpp"

#include <array>
#include <cstddef>
#include <optional>

namespace stillwell {

struct NightRules {
  int from_minute = 2 * 60;  ///< of the local day, 0..1439; the window may lead across midnight
  int to_minute = 4 * 60;    ///< first minute after the window
  int rolling_minutes = 60;  ///< length of the mean; a multiple of 6, shorter than the window
  LitresPerSecond more_than{};
  double enough = 0.8;  ///< share of the window's rolling means that must be known for a verdict
};

/// What a night showed, told once, at its end.
struct Night {
  std::optional<LitresPerSecond>
      minimum;         ///< the least rolling mean of the outflow; empty when none was whole
  double known = 0.0;  ///< share of the window's rolling means that were
  bool told = false;   ///< enough of it was known for a verdict
  bool leak = false;   ///< told, and the minimum is above the limit

  friend bool operator==(const Night&, const Night&) = default;
};

/// One tank's night. Times at which a pump of unknown flow moved water are unknown (tank/water_balance.hpp).
class NightFlow {
 public:
  explicit NightFlow(const NightRules& rules);

  /// Takes a settled stretch that ends at this minute of the local day. A window that is entered halfway, or
  /// in which the clock was put back, begins anew where it is. Returns the night when it has ended.
  std::optional<Night> step(int minute_of_day, const Balance& balance);

 private:
  /// A rolling mean spans six slots: from the mean contents at the mean time of the first to those of the
  /// last, so that a reading's noise is averaged out and not doubled.
  static constexpr std::size_t kSlots = 6;
  struct Slot {
    double litres = 0.0;   ///< sum of the contents seen in it, from an arbitrary zero
    double seconds = 0.0;  ///< sum of the times at which they were, likewise
    int seen = 0;
  };

  void begin(int slot);
  void enter(int slot);
  void close_slot();
  Night end();
  [[nodiscard]] int positions() const { return slots_in_window_ - static_cast<int>(kSlots); }

  NightRules rules_;
  int window_minutes_;
  int slot_minutes_;
  int slots_in_window_;

  std::optional<int> slot_;  ///< the one being filled; empty outside the window
  std::array<Slot, kSlots + 1> ring_{};
  int unbroken_ = 0;     ///< complete slots in a row without unknown time
  double held_ = 0.0;    ///< contents, less what pumps moved, from an arbitrary zero
  double time_ = 0.0;    ///< seconds since the same zero
  bool broken_ = false;  ///< unknown time fell into the slot being filled
  int whole_ = 0;        ///< rolling means so far
  std::optional<LitresPerSecond> minimum_;
};

}  // namespace stillwell
