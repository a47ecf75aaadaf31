#pragma once
// How fast a level moves, with how far that figure may be wrong, so that "filling at 3 mm/min" is not noise;
// and when a target will be reached, as long as that means something.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/line.hpp"
#include "stillwell/reading/motion.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

namespace stillwell {

/// A rate and its 95 % confidence interval (median of pair slopes, reading/line.hpp).
template <class PerSecond>
struct Rate {
  PerSecond slope{};
  PerSecond low{};
  PerSecond high{};
  int points = 0;   ///< that it rests on
  Duration span{};  ///< from the first of them to the last

  /// With four points all slopes have one sign by chance in 2 of 4! orders, 8 %; with five in 1.7 %.
  static constexpr int kFewest = 5;

  /// Whether it tells moving from still: enough points, and the interval leaves zero out.
  [[nodiscard]] bool is_meaningful() const {
    return points >= kFewest && (low > PerSecond{0.0} || high < PerSecond{0.0});
  }
};
using LevelRate = Rate<MetresPerSecond>;
using FlowRate = Rate<LitresPerSecond>;  ///< of contents; negative while the tank loses

/// The rate of the contents behind a rate of the level. In a tank whose walls slope, time to a target comes
/// from this one: a flow stays while the level's speed changes with the area.
FlowRate flow_of(const LevelRate& rate, SquareMetres surface);

/// Accepted levels of the latest `window`, averaged into kStretches stretches, and the line through them.
/// Fits when a stretch ends and keeps the result, so that asking costs nothing.
class RateWindow {
 public:
  /// More of them cost their square and tell little more: within a stretch the mean already averages.
  static constexpr std::size_t kStretches = 24;

  explicit RateWindow(Duration window);

  /// A level that is not finite, or not newer than the one before, is ignored.
  void add(const Seen& seen);

  /// Empty before two stretches are complete, and once a quarter of the window passed without a reading.
  [[nodiscard]] std::optional<LevelRate> rate(Instant now) const;

 private:
  void close_stretch();
  void fit();

  Duration window_;
  Duration stretch_;
  std::array<Seen, kStretches> ring_{};  ///< means of complete stretches
  std::size_t count_ = 0;
  std::size_t next_ = 0;
  std::optional<LevelRate> fitted_;

  std::int64_t stretch_number_ = 0;  ///< of the one being filled
  std::optional<Instant> newest_;
  Instant first_{};
  int held_ = 0;          ///< readings in it
  double seconds_ = 0.0;  ///< sum of their times after first_
  double metres_ = 0.0;   ///< sum of their levels
};

/// The window with which a rate of `resolve` stands clear of zero: two standard errors of a least-squares
/// slope, σ·√12 / (√n · T) with n = T / every. Between 1 min and 6 h.
Duration window_for(Metres noise, Duration every, MetresPerSecond resolve);

/// When a target is reached, if all goes on as it does.
struct TimeTo {
  Duration expected{};
  Duration soonest{};  ///< with the rate at either end of its 95 % interval
  Duration latest{};
};

/// Farther ahead than this no trend of minutes or hours says anything. Common practice, no source.
inline constexpr Duration kHorizon = std::chrono::hours{24 * 30};

/// Empty when the rate means nothing, leads away from the target, or reaches it beyond kHorizon at its
/// slowest; zero when it is there.
std::optional<TimeTo> time_to(Metres target, Metres from, const LevelRate& rate);
std::optional<TimeTo> time_to(Litres target, Litres from, const FlowRate& rate);

}  // namespace stillwell
