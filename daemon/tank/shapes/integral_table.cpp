#include "stillwell/tank/shapes/integral_table.hpp"

#include "stillwell/tank/shapes/quadrature.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace stillwell::geometry {
namespace {

using std::numbers::pi;

constexpr double kTolerance = 1e-13;  // of the largest area; the contents come out finer, errors alternate
constexpr double kThinTolerance = 1e-11;  // where a panel is so thin that its contents come out as fine
constexpr int kMostHalvings = 40;
constexpr std::size_t kMostPanels = 200;

double angle_at(double x) {
  return pi * (x + 1.0) / 2.0;
}

double largest_of(const IntegralTable::Area& area, double height) {
  constexpr int kSamples = 64;
  double largest = 0.0;
  for (int i = 1; i < kSamples; ++i)
    largest = std::max(largest, area(height * i / kSamples));
  return largest;
}

}  // namespace

IntegralTable::IntegralTable(const Area& area, const std::vector<double>& breaks)
    : height_{breaks.back()}, largest_{largest_of(area, height_)} {
  for (std::size_t i = 0; i + 1 < breaks.size(); ++i)
    add(area, breaks[i], breaks[i + 1], kMostHalvings);
}

void IntegralTable::add(const Area& area, double from, double to, int halvings) {
  const auto at_angle = [&](double x) {
    const double sine = std::sin(angle_at(x) / 2.0);
    return area(from + (to - from) * sine * sine);
  };
  const Series series = series_of(at_angle);
  const double tail =
      std::max({std::abs(series[kTerms - 1]), std::abs(series[kTerms - 2]), std::abs(series[kTerms - 3])});
  const double allowed = std::clamp(kTolerance * height_ / (to - from), kTolerance, kThinTolerance);
  if (tail > allowed * largest_ && halvings > 0 && panels_.size() < kMostPanels) {
    const double middle = from + (to - from) / 2.0;
    add(area, from, middle, halvings - 1);
    add(area, middle, to, halvings - 1);
    return;
  }
  area_error_ = std::max(area_error_, tail);
  const double below = panels_.empty() ? 0.0 : volume(panels_.back().to);
  panels_.push_back({from, to, below, series, mean_of(series)});
}

double IntegralTable::volume(double depth) const {
  const Panel& panel = panel_of(depth);
  return panel.below + (depth - panel.from) * std::max(sum(panel.mean, place(panel, depth)), 0.0);
}

double IntegralTable::area(double depth) const {
  const Panel& panel = panel_of(depth);
  return std::max(sum(panel.area, place(panel, depth)), 0.0);
}

/// The lowest panel that reaches as high as `depth`, or the last.
const IntegralTable::Panel& IntegralTable::panel_of(double depth) const {
  return *std::lower_bound(panels_.begin(), panels_.end() - 1, depth,
                           [](const Panel& panel, double wanted) { return panel.to < wanted; });
}

/// Where a depth is in the panel's series, −1 to 1.
double IntegralTable::place(const Panel& panel, double depth) {
  const double share = (depth - panel.from) / (panel.to - panel.from);
  const double rest = (panel.to - depth) / (panel.to - panel.from);
  const double half_angle = share < 0.5 ? std::asin(std::sqrt(std::max(share, 0.0)))
                                        : pi / 2.0 - std::asin(std::sqrt(std::max(rest, 0.0)));
  return half_angle * 4.0 / pi - 1.0;
}

IntegralTable::Series IntegralTable::series_of(const std::function<double(double)>& f) {
  constexpr auto kCount = static_cast<double>(kTerms);
  Series values{};
  for (std::size_t j = 0; j < kTerms; ++j)
    values[j] = f(std::cos(pi * (static_cast<double>(j) + 0.5) / kCount));
  Series series{};
  for (std::size_t k = 0; k < kTerms; ++k) {
    for (std::size_t j = 0; j < kTerms; ++j)
      series[k] +=
          values[j] * std::cos(pi * static_cast<double>(k) * (static_cast<double>(j) + 0.5) / kCount);
    series[k] *= (k == 0 ? 1.0 : 2.0) / kCount;
  }
  return series;
}

/// Clenshaw's recurrence for the even and the odd terms side by side, which a processor does at once: with
/// y = 2x² − 1 both T2k(x) and T2k+1(x)/x follow the same rule, one from 1 and y, the other from 1 and 2y
/// − 1.
double IntegralTable::sum(const Series& series, double x) {
  const double y = 2.0 * x * x - 1.0;
  double even = 0.0;
  double even_after = 0.0;
  double odd = 0.0;
  double odd_after = 0.0;
  for (std::size_t k = kTerms - 2; k > 0; k -= 2) {
    even_after = std::exchange(even, series[k] + 2.0 * y * even - even_after);
    odd_after = std::exchange(odd, series[k + 1] + 2.0 * y * odd - odd_after);
  }
  return series[0] + y * even - even_after + x * (series[1] + (2.0 * y - 1.0) * odd - odd_after);
}

/// With dh = (to − from)/2·sin θ dθ the mean is ∫ A·sin θ dθ / (2·sin²(θ/2)), whatever the panel's size.
IntegralTable::Series IntegralTable::mean_of(const Series& area) {
  return series_of([&area](double x) {
    const double end = angle_at(x);
    const auto weighted = [&area](double angle) {
      return sum(area, angle * 2.0 / pi - 1.0) * std::sin(angle);
    };
    const double sine = std::sin(end / 2.0);
    return integral(weighted, 0.0, end) / (2.0 * sine * sine);
  });
}

}  // namespace stillwell::geometry
