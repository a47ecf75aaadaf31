#pragma once
// What shows that a pump runs dry, besides the level of its suction: no flow, no load, a tank that does not
// follow. Such a cause counts (rule 10): the pump rests, each time twice as long, tries again, and after so
// many tries it is locked out.

#include "stillwell/pump/causes.hpp"
#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/delay.hpp"
#include "stillwell/reading/meter.hpp"

#include <chrono>
#include <optional>

namespace stillwell {

/// Fill: its tank rises. Drain: its tank falls. By at_least × within, within each time `within`.
struct RiseGuard {
  MetresPerSecond at_least{};
  Duration within{};
};

/// By how much it moves within its time.
inline Metres step_of(const RiseGuard& guard) {
  return Metres{guard.at_least.value() * seconds_of(guard.within)};
}

struct PowerGuard {
  MeterIndex meter;
  MotorLoad below{};  ///< in the meter's unit
  Duration lasts{};   ///< for so long
};

struct FlowGuard {
  SwitchIndex input;
  Duration within{};  ///< how long the flow may take to come, or to end
};

struct Retry {
  Duration after = std::chrono::minutes{30};  ///< the first rest
  int times = 3;                              ///< so many tries; the next one that fails locks out
  Duration proved_by = std::chrono::minutes{10};
};

struct DryRunGuards {
  std::optional<RiseGuard> rise;
  std::optional<PowerGuard> power;
  std::optional<FlowGuard> flow;
  Retry retry;
};

/// From where the tank must have moved on.
struct Mark {
  Metres level{};
  Instant at{};
};

struct DryRunMemory {
  std::optional<Mark> mark;
  Delay idle;                  ///< too little load
  Delay trickle;               ///< no flow
  int failures = 0;            ///< in a row, without a good run between them
  std::optional<Cause> cause;  ///< of the last one, while the pump rests for it
  Instant rests_until{};
};

/// The rest after so many failures in a row; doubles with each, at most a day.
Duration rest_after(const Retry& retry, int failures);
/// The pump failed once more.
void count_failure(DryRunMemory& memory, const Retry& retry, Cause cause, Instant now);
/// Whether one more failure is one too many.
bool is_last_try(const DryRunMemory& memory, const Retry& retry);

}  // namespace stillwell
