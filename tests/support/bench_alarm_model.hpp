#pragma once
// What an alarm should do, written down a second time and as plainly as it goes: in whole milliseconds of a
// true clock that no restart touches.

#include "stillwell/alarm/alarm.hpp"

#include <algorithm>
#include <cstdint>
#include <optional>

namespace support {

/// The condition behind its delays. The on-delay is a budget that drains while the condition holds and
/// refills at a quarter of that speed, up to twice the delay; a time at either end of which nobody could
/// judge moves nothing. The off-delay is the time since it was last seen to hold, unbroken.
class ConditionModel {
 public:
  ConditionModel() = default;
  ConditionModel(std::int64_t after_ms, std::int64_t clear_after_ms)
      : after_{4 * after_ms}, clear_after_{clear_after_ms} {}

  [[nodiscard]] bool active() const { return active_; }

  void step(std::optional<bool> holds, std::int64_t now_ms) {
    if (active_) return while_active(holds, now_ms);
    if (!holds) return seen_at_.reset();
    if (seen_at_) spent_ += (held_ ? 4 : -1) * (now_ms - *seen_at_);
    spent_ = std::clamp(spent_, std::int64_t{0}, 2 * after_);
    seen_at_ = now_ms;
    held_ = *holds;
    if (held_ && spent_ >= after_) *this = rising();
  }
  /// Only whether it stands is known after a restart: delays begin anew.
  void restart() {
    spent_ = 0;
    seen_at_.reset();
    gone_since_.reset();
  }

 private:
  [[nodiscard]] ConditionModel rising() const {
    ConditionModel risen = *this;
    risen.restart();
    risen.active_ = true;
    return risen;
  }
  void while_active(std::optional<bool> holds, std::int64_t now_ms) {
    if (!holds || *holds) return gone_since_.reset();
    if (!gone_since_) gone_since_ = now_ms;
    if (now_ms - *gone_since_ < clear_after_) return;
    active_ = false;
    restart();
  }

  std::int64_t after_ = 0;        ///< quarters of a millisecond, as the budget
  std::int64_t clear_after_ = 0;  ///< milliseconds
  bool active_ = false;
  std::int64_t spent_ = 0;
  std::optional<std::int64_t> seen_at_;
  bool held_ = false;
  std::optional<std::int64_t> gone_since_;
};

/// Who or what puts the alarm aside just now.
struct AsideModel {
  stillwell::Aside by_design;
  std::optional<std::int64_t> shelf_ends_ms;

  /// What a scan must find; empty when nothing puts it aside.
  [[nodiscard]] std::optional<stillwell::AlarmState> step(std::int64_t now_ms) {
    using stillwell::AlarmState;
    if (by_design.out_of_service || (shelf_ends_ms && now_ms >= *shelf_ends_ms)) shelf_ends_ms.reset();
    if (by_design.out_of_service) return AlarmState::out_of_service;
    if (shelf_ends_ms) return AlarmState::shelved;
    if (by_design.suppressed) return AlarmState::suppressed;
    return std::nullopt;
  }
};

}  // namespace support
