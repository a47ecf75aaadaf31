#include "stillwell/tank/night_flow.hpp"

#include <algorithm>

namespace stillwell {
namespace {

constexpr int kMinutesADay = 24 * 60;

int minutes_between(int from, int to) {
  return ((to - from) % kMinutesADay + kMinutesADay) % kMinutesADay;
}

}  // namespace

NightFlow::NightFlow(const NightRules& rules)
    : rules_{rules},
      window_minutes_{minutes_between(rules.from_minute, rules.to_minute)},
      slot_minutes_{std::max(1, rules.rolling_minutes / static_cast<int>(kSlots))},
      slots_in_window_{window_minutes_ / slot_minutes_} {}

void NightFlow::begin(int slot) {
  slot_ = slot;
  ring_ = {};
  unbroken_ = 0;
  held_ = 0.0;
  time_ = 0.0;
  broken_ = false;
  whole_ = 0;
  minimum_.reset();
}

void NightFlow::close_slot() {
  const std::size_t place = static_cast<std::size_t>(*slot_) % ring_.size();
  unbroken_ = broken_ || ring_[place].seen == 0 ? 0 : unbroken_ + 1;
  broken_ = false;
  if (unbroken_ <= static_cast<int>(kSlots)) return;
  const Slot& last = ring_[place];
  const Slot& first = ring_[(place + 1) % ring_.size()];
  const double lost = first.litres / first.seen - last.litres / last.seen;
  const LitresPerSecond mean{lost / (last.seconds / last.seen - first.seconds / first.seen)};
  minimum_ = std::min(mean, minimum_.value_or(mean));
  ++whole_;
}

void NightFlow::enter(int slot) {
  close_slot();
  if (slot != *slot_ + 1) unbroken_ = 0;  // slots were left out
  slot_ = slot;
  ring_[static_cast<std::size_t>(slot) % ring_.size()] = {};
}

Night NightFlow::end() {
  close_slot();
  Night night{.minimum = minimum_};
  if (positions() > 0) night.known = static_cast<double>(whole_) / positions();
  night.told = night.minimum && night.known >= rules_.enough;
  night.leak = night.told && *night.minimum > rules_.more_than;
  slot_.reset();
  return night;
}

std::optional<Night> NightFlow::step(int minute_of_day, const Balance& balance) {
  const int minute = minutes_between(rules_.from_minute, minute_of_day);
  const int slot = minute / slot_minutes_;
  const bool inside = slot < slots_in_window_;
  if (!inside) return slot_ ? std::optional<Night>{end()} : std::nullopt;
  const bool another_night = balance.elapsed > std::chrono::minutes{window_minutes_};
  if (!slot_ || slot < *slot_ || another_night) begin(slot);
  if (slot > *slot_) enter(slot);
  if (balance.elapsed == Duration{0}) return {};
  if (balance.change) {
    held_ += balance.change->value();
  } else {
    broken_ = true;
  }
  Slot& filling = ring_[static_cast<std::size_t>(slot) % ring_.size()];
  time_ += seconds_of(balance.elapsed);
  filling.litres += held_;
  filling.seconds += time_;
  ++filling.seen;
  return {};
}

}  // namespace stillwell
