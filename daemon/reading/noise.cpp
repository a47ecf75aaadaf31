#include "stillwell/reading/noise.hpp"

#include "stillwell/reading/median.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace stillwell {
namespace {

/// How far the middle one lies from the line between the others, in standard deviations of one reading.
double offset(const Seen& before, const Seen& middle, const Seen& after) {
  const double share = seconds_of(middle.at - before.at) / seconds_of(after.at - before.at);
  const double line = before.level.value() + share * (after.level - before.level).value();
  const double variance = 1.0 + share * share + (1.0 - share) * (1.0 - share);
  return std::abs(middle.level.value() - line) / std::sqrt(variance);
}

}  // namespace

const Seen& Noise::seen(std::size_t place) const {
  return ring_[(next_ + kReadings - count_ + place) % kReadings];
}

void Noise::add(const Seen& seen) {
  if (!std::isfinite(seen.level.value())) return;
  const Seen& newest = ring_[(next_ + kReadings - 1) % kReadings];
  if (count_ > 0 && seen.at <= newest.at) return;
  if (count_ > 0 && seen.at - newest.at > window_) count_ = 0;
  ring_[next_] = seen;
  next_ = (next_ + 1) % kReadings;
  count_ = std::min(count_ + 1, kReadings);
}

std::optional<Metres> Noise::spread() const {
  if (count_ < kFewest) return {};
  std::array<double, kReadings> offsets{};
  for (std::size_t at = 0; at + 2 < count_; ++at)
    offsets[at] = offset(seen(at), seen(at + 1), seen(at + 2));
  return Metres{kSigmasPerMad * median(std::span{offsets.data(), count_ - 2})};
}

Reason Noise::judge(Metres limit) const {
  const auto known = spread();
  return !known || *known <= limit ? Reason::none : Reason::noisy;
}

}  // namespace stillwell
