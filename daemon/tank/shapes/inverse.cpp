#include "stillwell/tank/shapes/inverse.hpp"

#include <cmath>
#include <limits>
#include <numeric>

namespace stillwell {
namespace {

double excess_at(const Shape& shape, Litres contents, double depth) {
  return (shape.volume(Metres{depth}) - contents).value() / kLitresPerCubicMetre;
}

/// A first guess: as if the section were even between the two depths.
double even_guess(const Shape& shape, Litres contents, DepthBracket between) {
  const Litres below = shape.volume(between.low);
  const double share = (contents - below) / (shape.volume(between.high) - below);
  return std::lerp(between.low.value(), between.high.value(), share);
}

}  // namespace

Metres depth_between(const Shape& shape, Litres contents, DepthBracket between) {
  constexpr int kMostSteps = 200;  // halving alone needs 60 for a whole tank, more for a film on its floor
  constexpr int kHalveEvery = 4;   // where the section shrinks to nothing Newton only creeps
  constexpr double kFinest = 2.0 * std::numeric_limits<double>::epsilon();
  if (!(shape.volume(between.low) < contents)) return between.low;
  if (!(shape.volume(between.high) > contents)) return between.high;

  double low = between.low.value();
  double high = between.high.value();
  double depth = even_guess(shape, contents, between);
  for (int step = 1; step <= kMostSteps; ++step) {
    const double excess = excess_at(shape, contents, depth);
    if (excess == 0.0) break;
    (excess < 0.0 ? low : high) = depth;
    double next = depth - excess / shape.surface(Metres{depth}).value();
    const bool inside = next > low && next < high;  // false for NaN too
    if (!inside || step % kHalveEvery == 0) next = std::midpoint(low, high);
    const double moved = std::abs(next - depth);
    depth = next;
    if (moved <= kFinest * std::abs(depth)) break;
  }
  return Metres{depth};
}

}  // namespace stillwell
