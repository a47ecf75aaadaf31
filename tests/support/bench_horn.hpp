#pragma once
// A horn on a bench: two alarms it sounds for, a button, a contact that obeys. Looked at once a second.

#include "stillwell/alarm/annunciator.hpp"

#include <array>
#include <chrono>
#include <vector>

namespace support {

class HornBench {
 public:
  HornBench() {
    using namespace std::chrono_literals;
    rules.id = "yard";
    rules.contact_within = 3s;
    rules.sounds_for = {stillwell::Priority::high, stillwell::Priority::medium};
    rules.silence_switch = stillwell::SilenceSwitch{.input = {0}, .debounce = 50ms};
    rules.again_after = 30min;
  }

  stillwell::Annunciator rules;
  stillwell::AnnunciatorMemory memory;
  std::array<stillwell::AlarmState, 2> alarms{};
  std::optional<bool> button = false;   ///< as read; empty: it cannot be
  std::optional<bool> contact = false;  ///< as confirmed
  bool obeys = true;                    ///< the contact becomes what it was told
  stillwell::Instant now{std::chrono::hours{1}};
  std::vector<stillwell::AnnunciatorEvent> events;  ///< of the last scan

  /// One scan; true when it sounds.
  bool scan(stillwell::Duration later = std::chrono::seconds{1}) {
    using namespace stillwell;
    now += later;
    std::array<AlarmStep, 2> steps{AlarmStep{before_[0], alarms[0]}, AlarmStep{before_[1], alarms[1]}};
    before_ = alarms;
    if (obeys) contact = memory.order == Order::on;
    AnnunciatorOutcome outcome =
        follow(memory, rules,
               {.alarms = steps,
                .button = SwitchState{button, button ? Reason::none : Reason::no_answer, now},
                .contact = {now, contact, contact ? Reason::none : Reason::no_answer},
                .now = now});
    events = std::move(outcome.events);
    return outcome.order == Order::on;
  }
  bool scan(stillwell::AlarmState first, stillwell::AlarmState second = stillwell::AlarmState::normal) {
    alarms = {first, second};
    return scan();
  }
  /// As a daemon that starts with what the alarms were before.
  void restart() { memory = {}; }
  [[nodiscard]] bool told(stillwell::AnnunciatorEvent event) const { return events == std::vector{event}; }

 private:
  std::array<stillwell::AlarmState, 2> before_{};
};

}  // namespace support
