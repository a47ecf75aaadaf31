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
  if (count_ > 0 && seen.at - newest.at > window_) {
    count_ = 0;
    next_ = 0;
    spread_.reset();
  }
  ring_[next_] = seen;
  next_ = (next_ + 1) % kReadings;
  count_ = std::min(count_ + 1, kReadings);
  ++since_measured_;
  if (count_ < kFewest || (spread_ && since_measured_ < kAnew)) return;
  spread_ = measure();
  since_measured_ = 0;
}

std::optional<Metres> Noise::measure() const {
  std::array<Point, kReadings> scratch{};
  const std::span<Point> points{scratch.data(), count_};
  for (std::size_t i = 0; i < count_; ++i)
    points[i] = {seconds_of(ring_[i].at - ring_[0].at), (ring_[i].level - ring_[0].level).value()};
  const auto slope = repeated_median(points);
  if (!slope) return {};
  return Metres{kSigmasPerMad * scatter(points, *slope)};
}

Reason Noise::judge(Metres limit) const {
  return !spread_ || *spread_ <= limit ? Reason::none : Reason::noisy;
}

}  // namespace stillwell
