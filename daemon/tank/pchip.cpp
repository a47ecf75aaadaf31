#include "stillwell/tank/pchip.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

/// The straight line from one knot to the next.
struct Secant {
  double width;
  double slope;
};

bool same_sign(double a, double b) {
  return (a > 0.0 && b > 0.0) || (a < 0.0 && b < 0.0);
}

double inner_slope(const Secant& before, const Secant& after) {
  if (!same_sign(before.slope, after.slope)) return 0.0;
  const double weight_before = before.width + 2.0 * after.width;
  const double weight_after = 2.0 * before.width + after.width;
  return (weight_before + weight_after) / (weight_before / before.slope + weight_after / after.slope);
}

/// The parabola through the last three knots, held back where it would turn.
double end_slope(const Secant& end, const Secant& inner) {
  const double slope =
      ((2.0 * end.width + inner.width) * end.slope - end.width * inner.slope) / (end.width + inner.width);
  if (!same_sign(slope, end.slope)) return 0.0;
  if (!same_sign(end.slope, inner.slope) && std::abs(slope) > 3.0 * std::abs(end.slope))
    return 3.0 * end.slope;
  return slope;
}

std::vector<double> slopes_of(const std::vector<Secant>& secants) {
  if (secants.size() == 1) return {secants[0].slope, secants[0].slope};
  std::vector<double> slopes{end_slope(secants[0], secants[1])};
  for (std::size_t i = 1; i < secants.size(); ++i)
    slopes.push_back(inner_slope(secants[i - 1], secants[i]));
  slopes.push_back(end_slope(secants.back(), secants[secants.size() - 2]));
  return slopes;
}

}  // namespace

Pchip::Pchip(const std::vector<Knot>& knots) {
  std::vector<Secant> secants;
  for (std::size_t i = 1; i < knots.size(); ++i) {
    const double width = knots[i].x - knots[i - 1].x;
    secants.push_back({.width = width, .slope = (knots[i].y - knots[i - 1].y) / width});
  }
  const std::vector<double> slopes = slopes_of(secants);
  for (std::size_t i = 0; i < secants.size(); ++i) {
    pieces_.push_back({.from = knots[i].x,
                       .width = secants[i].width,
                       .start = knots[i].y,
                       .rise = knots[i + 1].y - knots[i].y,
                       .slope = slopes[i],
                       .next_slope = slopes[i + 1]});
  }
}

/// Hermite's cubic, written from the nearer knot so that it meets both exactly.
double Pchip::value(double x) const {
  const Piece& p = piece_of(x);
  const double t = std::clamp((x - p.from) / p.width, 0.0, 1.0);
  const double s = 1.0 - t;
  const double bend = t * s * p.width * (s * p.slope - t * p.next_slope);
  return p.start + p.rise * t * t * (3.0 - 2.0 * t) + bend;
}

double Pchip::slope(double x) const {
  const Piece& p = piece_of(x);
  const double t = std::clamp((x - p.from) / p.width, 0.0, 1.0);
  const double s = 1.0 - t;
  return 6.0 * t * s * p.rise / p.width + s * (1.0 - 3.0 * t) * p.slope + t * (3.0 * t - 2.0) * p.next_slope;
}

/// The lowest piece that reaches as far as x, or the last.
const Pchip::Piece& Pchip::piece_of(double x) const {
  return *std::lower_bound(pieces_.begin(), pieces_.end() - 1, x, [](const Piece& piece, double wanted) {
    return piece.from + piece.width < wanted;
  });
}

}  // namespace stillwell
