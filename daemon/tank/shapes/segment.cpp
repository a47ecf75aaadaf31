#include "stillwell/tank/shapes/segment.hpp"

#include <cmath>
#include <numbers>

namespace stillwell::geometry {

double angle_minus_sine(double x) {
  // Above one the difference loses less than a digit; below, ten terms of the sine's own series are exact to
  // the last bit: x³/3!·(1 − x²/(4·5)·(1 − x²/(6·7)·(…))).
  constexpr double kSeriesEnds = 1.0;
  if (!(x < kSeriesEnds)) return x - std::sin(x);
  constexpr int kTerms = 10;
  double bracket = 1.0;
  for (int k = kTerms; k >= 2; --k)
    bracket = 1.0 - x * x / (2.0 * k * (2.0 * k + 1.0)) * bracket;
  return x * x * x / 6.0 * bracket;
}

double wetted_angle(double radius, double depth) {
  if (depth <= 0.0) return 0.0;
  if (depth >= 2.0 * radius) return std::numbers::pi;
  // Half angles through the square root: acos(1 − depth/radius) would lose half the digits at either end.
  if (depth <= radius) return 2.0 * std::asin(std::sqrt(depth / (2.0 * radius)));
  return std::numbers::pi - 2.0 * std::asin(std::sqrt((2.0 * radius - depth) / (2.0 * radius)));
}

double segment_area(double radius, double depth) {
  const bool upper = depth > radius;
  const double angle = wetted_angle(radius, upper ? 2.0 * radius - depth : depth);
  const double segment = 0.5 * radius * radius * angle_minus_sine(2.0 * angle);
  return upper ? std::numbers::pi * radius * radius - segment : segment;
}

double chord(double radius, double depth) {
  if (depth <= 0.0 || depth >= 2.0 * radius) return 0.0;
  return 2.0 * std::sqrt(depth * (2.0 * radius - depth));
}

}  // namespace stillwell::geometry
