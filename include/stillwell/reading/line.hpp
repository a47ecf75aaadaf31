#pragma once
// Straight lines through a few points that some wild ones cannot bend. Bounded and free of allocation: the
// slopes of all pairs fit on the stack.

#include <cstddef>
#include <optional>
#include <span>

namespace stillwell {

struct Point {
  double x = 0.0;
  double y = 0.0;
};

/// The most points that a line is drawn through; more are refused.
inline constexpr std::size_t kMostPoints = 60;

/// Two-sided 95 % of the normal distribution, in standard deviations.
inline constexpr double kNinetyFivePercent = 1.959963984540054;

struct SlopeInterval {
  double slope = 0.0;
  double low = 0.0;  ///< of the confidence interval
  double high = 0.0;
};

/// The median of the slopes of all pairs (Theil), with the rank confidence interval of Sen P.K., J. Am. Stat.
/// Assoc. 63, 1379-1389 (1968), ties accounted for. `sigmas` states the confidence (kNinetyFivePercent).
/// Withstands 29 % of wild points. Empty when points are more than kMostPoints, not finite, or all above one
/// another.
std::optional<SlopeInterval> theil_sen(std::span<const Point> points, double sigmas);

}  // namespace stillwell
