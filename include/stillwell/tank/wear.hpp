#pragma once
// Pump wear: volume moved per running hour against the nameplate, and whether it falls. A worn impeller, a
// leaking foot valve or a clogged strainer shows here months before the pump fails.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

#include <array>
#include <cstddef>
#include <optional>

namespace stillwell {

inline constexpr std::size_t kWearStretches = 32;

/// All that is remembered of a pump's life; copied whole into the state file and back. When the stretches are
/// full, neighbours are joined and each new one is twice as long: a life of any length fits.
struct PumpWear {
  struct Stretch {
    Litres moved{};
    Duration ran{0};

    friend bool operator==(const Stretch&, const Stretch&) = default;
  };
  std::array<Stretch, kWearStretches> stretches{};
  std::size_t complete = 0;                  ///< stretches filled; the one at this place is being filled
  Duration length = std::chrono::hours{10};  ///< running time of a stretch

  friend bool operator==(const PumpWear&, const PumpWear&) = default;
};

struct WearTrend {
  double ratio = 0.0;           ///< flow of the latest complete stretch over the nameplate's; 1 is as new
  double per_1000_hours = 0.0;  ///< change of that ratio in 1000 running hours
  double standard_error = 0.0;  ///< of that change
  [[nodiscard]] bool is_meaningful() const;  ///< the change is more than two standard errors
};

/// A run, or a part of one, whose volume is known. Others are left out: both their time and their volume.
/// A run in which the tank lost is one that moved nothing; leaving it out would flatter a worn pump. Amounts
/// that are none are ignored.
void add_run(PumpWear& wear, Litres moved, Duration ran);

/// Flow of the latest complete stretch over the nameplate's. Empty before one is complete, and without a
/// nameplate.
std::optional<double> wear_ratio(const PumpWear& wear, LitresPerSecond nameplate);

/// Least-squares line through the stretches. Empty below five of them.
std::optional<WearTrend> wear_trend(const PumpWear& wear, LitresPerSecond nameplate);

}  // namespace stillwell
