#include "stillwell/tank/slope.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

Duration duration_of(double seconds) {
  return std::chrono::duration_cast<Duration>(std::chrono::duration<double>(seconds));
}

template <class Amount, class PerSecond>
std::optional<TimeTo> reach(Amount target, Amount from, const Rate<PerSecond>& rate) {
  const double gap = (target - from).value();
  if (gap == 0.0) return TimeTo{};
  if (!rate.is_meaningful()) return {};
  const double expected = gap / rate.slope.value();
  const double one = gap / rate.low.value();
  const double other = gap / rate.high.value();
  const double latest = std::max(one, other);
  // Towards the target all three are positive; NaN fails the second.
  if (!(std::min(one, other) > 0.0) || !(latest <= seconds_of(kHorizon))) return {};
  return TimeTo{duration_of(expected), duration_of(std::min(one, other)), duration_of(latest)};
}

}  // namespace

FlowRate flow_of(const LevelRate& rate, SquareMetres surface) {
  const auto flow = [surface](MetresPerSecond speed) {
    return LitresPerSecond{(surface * Metres{speed.value()}).value()};
  };
  return {flow(rate.slope), flow(rate.low), flow(rate.high), rate.points, rate.span};
}

static_assert(RateWindow::kStretches <= kMostPoints);

RateWindow::RateWindow(Duration window)
    : window_{std::max<Duration>(window, std::chrono::seconds{1})},
      stretch_{window_ / static_cast<std::int64_t>(kStretches)} {}

void RateWindow::add(const Seen& seen) {
  if (!std::isfinite(seen.level.value()) || (newest_ && seen.at <= *newest_)) return;
  const std::int64_t number = seen.at.time_since_epoch() / stretch_;
  if (held_ > 0 && number != stretch_number_) close_stretch();
  if (newest_ && seen.at - *newest_ > window_ / 4) fitted_.reset();  // it tells of before the pause
  if (held_ == 0) first_ = seen.at;
  stretch_number_ = number;
  newest_ = seen.at;
  ++held_;
  seconds_ += seconds_of(seen.at - first_);
  metres_ += seen.level.value();
}

void RateWindow::close_stretch() {
  const double readings = held_;
  ring_[next_] = {Metres{metres_ / readings}, first_ + duration_of(seconds_ / readings)};
  next_ = (next_ + 1) % kStretches;
  count_ = std::min(count_ + 1, kStretches);
  held_ = 0;
  seconds_ = 0.0;
  metres_ = 0.0;
  fit();
}

void RateWindow::fit() {
  const Instant last = ring_[(next_ + kStretches - 1) % kStretches].at;
  std::array<Point, kStretches> points{};
  std::size_t held = 0;
  Duration span{0};
  for (std::size_t i = 0; i < count_; ++i) {
    const Duration age = last - ring_[i].at;
    if (age > window_) continue;
    points[held++] = {-seconds_of(age), ring_[i].level.value()};
    span = std::max(span, age);
  }
  fitted_.reset();
  const auto line = theil_sen({points.data(), held}, kNinetyFivePercent);
  if (!line) return;
  fitted_ = LevelRate{.slope = MetresPerSecond{line->slope},
                      .low = MetresPerSecond{line->low},
                      .high = MetresPerSecond{line->high},
                      .points = static_cast<int>(held),
                      .span = span};
}

std::optional<LevelRate> RateWindow::rate(Instant now) const {
  if (!newest_ || now - *newest_ > window_ / 4) return {};
  return fitted_;
}

Duration window_for(Metres noise, Duration every, MetresPerSecond resolve) {
  const double error = resolve.value() / 2.0;
  const double seconds =
      std::cbrt(12.0 * noise.value() * noise.value() * seconds_of(every) / (error * error));
  const double bounded = seconds >= 60.0 ? std::min(seconds, 6.0 * 3600.0) : 60.0;
  return duration_of(bounded);
}

std::optional<TimeTo> time_to(Metres target, Metres from, const LevelRate& rate) {
  return reach(target, from, rate);
}

std::optional<TimeTo> time_to(Litres target, Litres from, const FlowRate& rate) {
  return reach(target, from, rate);
}

}  // namespace stillwell
