#include "stillwell/reading/hampel.hpp"

#include "stillwell/reading/median.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace stillwell {
namespace {

int allowed(int window) {
  return std::clamp(window, Hampel::kSmallest, Hampel::kLargest) | 1;
}

double middle_of(std::span<const double> sorted) {
  const std::size_t half = sorted.size() / 2;
  return sorted.size() % 2 == 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2.0;
}

/// The median distance from `centre`, walking outwards from it on both sides at once.
double middle_distance(std::span<const double> sorted, double centre) {
  auto above = std::lower_bound(sorted.begin(), sorted.end(), centre);
  auto below = above;
  double before = 0.0;
  double distance = 0.0;
  for (std::size_t taken = 0; taken <= sorted.size() / 2; ++taken) {
    before = distance;
    const bool up =
        below == sorted.begin() || (above != sorted.end() && *above - centre <= centre - *(below - 1));
    distance = up ? *above++ - centre : centre - *--below;
  }
  return sorted.size() % 2 == 1 ? distance : (before + distance) / 2.0;
}

}  // namespace

Hampel::Hampel(int window, Metres floor) : floor_{floor}, window_{allowed(window)} {}

void Hampel::take(double reading) {
  auto end = sorted_.begin() + count_;
  if (count_ == window_) {
    const double oldest = ring_[static_cast<std::size_t>(next_)];
    const auto leaves = std::lower_bound(sorted_.begin(), end, oldest);
    end = std::move(leaves + 1, end, leaves);
  } else {
    ++count_;
  }
  const auto place = std::upper_bound(sorted_.begin(), end, reading);
  std::move_backward(place, end, end + 1);
  *place = reading;
  ring_[static_cast<std::size_t>(next_)] = reading;
  next_ = (next_ + 1) % window_;
}

Hampel::Verdict Hampel::judge(Metres reading) {
  if (!std::isfinite(reading.value())) return {};
  take(reading.value());
  const std::span<const double> held{sorted_.data(), static_cast<std::size_t>(count_)};
  const double middle = middle_of(held);
  const double deviation = middle_distance(held, middle);
  const double limit = kSigmas * kSigmasPerMad * std::max(deviation, floor_.value());
  return {!(std::abs(reading.value() - middle) <= limit), Metres{middle}, Metres{deviation}};
}

Metres spike_floor(int window, Metres step, Metres noise) {
  const double half = (allowed(window) - 1) / 2.0;
  return (step * half + noise * 2.0) / (Hampel::kSigmas * kSigmasPerMad);
}

}  // namespace stillwell
