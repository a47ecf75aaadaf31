#include "stillwell/reading/line.hpp"

#include "stillwell/reading/median.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwell {
namespace {

constexpr std::size_t kMostPairs = kMostPoints * (kMostPoints - 1) / 2;

bool usable(std::span<const Point> points) {
  const auto finite = [](const Point& point) { return std::isfinite(point.x) && std::isfinite(point.y); };
  return points.size() >= 2 && points.size() <= kMostPoints &&
         std::all_of(points.begin(), points.end(), finite);
}

/// n (n − 1) (2 n + 5): what n exchangeable values contribute to the variance of Kendall's statistic,
/// times 18.
double kendall_term(std::size_t n) {
  const auto count = static_cast<double>(n);
  return count * (count - 1.0) * (2.0 * count + 5.0);
}

/// The same, summed over the groups of equal values. Reorders the values.
double tie_terms(std::span<double> values) {
  std::sort(values.begin(), values.end());
  double sum = 0.0;
  for (auto from = values.begin(); from != values.end();) {
    const auto to = std::upper_bound(from, values.end(), *from);
    sum += kendall_term(static_cast<std::size_t>(to - from));
    from = to;
  }
  return sum;
}

double kendall_sigma(std::span<const Point> points) {
  std::array<double, kMostPoints> scratch{};
  const std::span<double> values{scratch.data(), points.size()};
  std::transform(points.begin(), points.end(), values.begin(), [](const Point& point) { return point.x; });
  double ties = tie_terms(values);
  std::transform(points.begin(), points.end(), values.begin(), [](const Point& point) { return point.y; });
  ties += tie_terms(values);
  return std::sqrt(std::max(0.0, kendall_term(points.size()) - ties) / 18.0);
}

double nth(std::span<double> numbers, double rank) {
  const double last = static_cast<double>(numbers.size() - 1);
  const auto place = numbers.begin() + static_cast<std::ptrdiff_t>(std::clamp(rank, 0.0, last));
  std::nth_element(numbers.begin(), place, numbers.end());
  return *place;
}

}  // namespace

std::optional<SlopeInterval> theil_sen(std::span<const Point> points, double sigmas) {
  if (!usable(points) || !(sigmas > 0.0)) return {};
  std::array<double, kMostPairs> scratch{};
  std::size_t pairs = 0;
  for (std::size_t i = 1; i < points.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const double run = points[i].x - points[j].x;
      if (run != 0.0) scratch[pairs++] = (points[i].y - points[j].y) / run;
    }
  }
  if (pairs == 0) return {};
  const std::span<double> slopes{scratch.data(), pairs};
  const auto all = static_cast<double>(pairs);
  const double width = sigmas * kendall_sigma(points);
  // Ranks to the nearest whole one, halves to even, as the check values have it.
  return SlopeInterval{.slope = median(slopes),
                       .low = nth(slopes, std::nearbyint((all - width) / 2.0) - 1.0),
                       .high = nth(slopes, std::nearbyint((all + width) / 2.0))};
}

}  // namespace stillwell
