#pragma once
// One alarm on a bench: a low alarm at 40 cm that clears at 50 cm, looked at once a second.

#include "stillwell/alarm/alarm.hpp"

#include <chrono>

namespace support {

class AlarmBench {
 public:
  explicit AlarmBench(bool latch = false) {
    rules.kind = stillwell::AlarmKind::low;
    rules.at = stillwell::Metres{0.40};
    rules.clears_at = stillwell::Metres{0.50};
    rules.latch = latch;
  }

  stillwell::Alarm rules;
  stillwell::AlarmMemory memory;
  stillwell::Aside aside;
  stillwell::Instant now{std::chrono::hours{1}};

  /// One scan; true when the state changed.
  bool scan(const stillwell::Level& level, stillwell::Duration later = std::chrono::seconds{1}) {
    return follow(memory, rules, condition(rules, memory.active, level), aside, now += later);
  }
  bool scan(double metres, stillwell::Duration later = std::chrono::seconds{1}) {
    using namespace stillwell;
    return scan(Level{.level = Metres{metres}, .quality = Quality::good, .reason = Reason::none}, later);
  }
  bool blind(stillwell::Duration later = std::chrono::seconds{1}) {
    return scan(stillwell::Level::bad(stillwell::Reason::stale, {}), later);
  }

  bool abnormal() { return scan(0.30); }
  bool normal() { return scan(0.80); }
  bool acknowledge() { return stillwell::acknowledge(memory, now); }
  bool shelve(stillwell::Duration lasts = std::chrono::hours{1}) {
    return stillwell::shelve(memory, {now + lasts, "cleaning"}, now);
  }
  bool unshelve() { return stillwell::unshelve(memory, rules, now); }
  bool reset() { return stillwell::reset(memory, now); }
  [[nodiscard]] stillwell::AlarmState state() const { return memory.state; }
};

}  // namespace support
