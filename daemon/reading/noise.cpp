#include "stillwell/reading/noise.hpp"

#include "stillwell/reading/line.hpp"
#include "stillwell/reading/median.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {

static_assert(Noise::kReadings <= kMostPoints);

void Noise::add(const Seen& seen) {
  if (!std::isfinite(seen.level.value())) return;
  const Seen& newest = ring_[(next_ + kReadings - 1) % kReadings];
  if (count_ > 0 && seen.at <= newest.at) return;
  ring_[next_] = seen;
  next_ = (next_ + 1) % kReadings;
  count_ = std::min(count_ + 1, kReadings);
}

std::optional<Metres> Noise::spread() const {
  if (count_ < kFewest) return {};
  const Seen& newest = ring_[(next_ + kReadings - 1) % kReadings];
  std::array<Point, kReadings> scratch{};
  std::size_t held = 0;
  for (std::size_t i = 0; i < count_; ++i) {
    const Seen& seen = ring_[i];
    if (newest.at - seen.at > window_) continue;
    scratch[held++] = {seconds_of(seen.at - newest.at), (seen.level - newest.level).value()};
  }
  if (held < kFewest) return {};
  const std::span<const Point> points{scratch.data(), held};
  const auto slope = repeated_median(points);
  if (!slope) return {};
  return Metres{kSigmasPerMad * scatter(points, *slope)};
}

Reason Noise::judge(Metres limit) const {
  const auto seen = spread();
  return !seen || *seen <= limit ? Reason::none : Reason::noisy;
}

}  // namespace stillwell
