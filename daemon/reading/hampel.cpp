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

}  // namespace

Hampel::Hampel(int window, Metres floor) : floor_{floor}, window_{allowed(window)} {}

Hampel::Verdict Hampel::judge(Metres reading) {
  if (!std::isfinite(reading.value())) return {};
  if (count_ == 0) next_ = 0;
  ring_[static_cast<std::size_t>(next_)] = reading.value();
  next_ = (next_ + 1) % window_;
  count_ = std::min(count_ + 1, window_);

  auto scratch = ring_;
  const std::span<double> held{scratch.data(), static_cast<std::size_t>(count_)};
  const double middle = median(held);
  const double deviation = median_deviation(held, middle);
  const double limit = kSigmas * kSigmasPerMad * std::max(deviation, floor_.value());
  return {!(std::abs(reading.value() - middle) <= limit), Metres{middle}, Metres{deviation}};
}

Metres spike_floor(int window, Metres step, Metres noise) {
  const double half = (allowed(window) - 1) / 2.0;
  return (step * half + noise * 2.0) / (Hampel::kSigmas * kSigmasPerMad);
}

}  // namespace stillwell
