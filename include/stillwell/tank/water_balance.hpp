#pragma once
// What a tank's contents did that its pumps do not explain: rain, a spring, people, a leak. The accounts are
// all made from this, so that a gap in the readings is counted once, and as unknown.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

#include <optional>

namespace stillwell {

/// What pumps moved, as meters or nameplates say. Zero while they are known to stand still.
struct PumpFlow {
  LitresPerSecond in{};
  LitresPerSecond out{};
};

/// A tank as one scan sees it.
struct TankSight {
  Instant at{};
  std::optional<Litres> volume;                ///< empty while the level is not usable
  std::optional<PumpFlow> pumps = PumpFlow{};  ///< since the sight before; empty when a pump ran whose flow
                                               ///< nobody knows
};

/// One stretch of time that is settled.
struct Balance {
  Duration elapsed{0};           ///< zero while it is still open whether the readings come back in time
  std::optional<Litres> change;  ///< of the contents, less what pumps brought, plus what they took; empty
                                 ///< when it cannot be known
  Litres pumped_in{};            ///< within the stretch; only with a change
  Litres pumped_out{};
};

class WaterBalance {
 public:
  /// A pause in the readings of up to `longest_gap` is bridged, since no water is lost from sight by it;
  /// beyond, the time is unknown.
  explicit WaterBalance(Duration longest_gap) : longest_gap_{longest_gap} {}

  /// Sights out of order and volumes that are not finite count as none.
  Balance step(const TankSight& sight);

 private:
  void count_pumps(Duration elapsed, const std::optional<PumpFlow>& pumps);
  Balance settle(Instant now, std::optional<Litres> change);

  Duration longest_gap_;
  std::optional<Instant> at_;     ///< of the sight before
  Instant settled_{};             ///< all time before this has been reported
  std::optional<Litres> volume_;  ///< at settled_; empty in unknown time
  bool pumps_known_ = true;       ///< since settled_
  Litres pumped_in_{};
  Litres pumped_out_{};
};

}  // namespace stillwell
