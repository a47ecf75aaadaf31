#include "stillwell/tank/water_balance.hpp"

#include <cmath>

namespace stillwell {
namespace {

Litres amount(LitresPerSecond flow, Duration elapsed) {
  return Litres{flow.value() * seconds_of(elapsed)};
}

}  // namespace

void WaterBalance::count_pumps(Duration elapsed, const std::optional<PumpFlow>& pumps) {
  if (!pumps || !std::isfinite(pumps->in.value()) || !std::isfinite(pumps->out.value())) {
    pumps_known_ = false;
    return;
  }
  pumped_in_ += amount(pumps->in, elapsed);
  pumped_out_ += amount(pumps->out, elapsed);
}

Balance WaterBalance::settle(Instant now, std::optional<Litres> change) {
  Balance balance{.elapsed = now - settled_, .change = change};
  if (change) {
    balance.pumped_in = pumped_in_;
    balance.pumped_out = pumped_out_;
  }
  settled_ = now;
  pumps_known_ = true;
  pumped_in_ = Litres{0.0};
  pumped_out_ = Litres{0.0};
  return balance;
}

Balance WaterBalance::step(const TankSight& sight) {
  std::optional<Litres> volume = sight.volume;
  if (volume && !std::isfinite(volume->value())) volume.reset();
  if (!at_) {
    at_ = sight.at;
    settled_ = sight.at;
    volume_ = volume;
    return {};
  }
  if (sight.at <= *at_) return {};
  count_pumps(sight.at - *at_, sight.pumps);
  at_ = sight.at;

  const bool in_time = volume_ && sight.at - settled_ <= longest_gap_;
  if (in_time && !volume) return {};
  std::optional<Litres> change;
  if (in_time && pumps_known_) change = *volume - *volume_ - pumped_in_ + pumped_out_;
  volume_ = volume;
  return settle(sight.at, change);
}

}  // namespace stillwell
