#pragma once
// An on/off input: a float, a contactor's feedback, a button. An input that could not be read lately is
// neither on nor off.

#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/quality.hpp"
#include "stillwell/reading/sample.hpp"

#include <optional>

namespace stillwell {

struct SwitchRules {
  bool active_low = false;           ///< the open input means "on", as with a normally-closed float
  std::optional<bool> broken_is_on;  ///< what a broken wire looks like; unset where nobody declared it
  Duration stale_after{};
};

struct SwitchState {
  std::optional<bool> on;  ///< empty when it cannot be known
  Reason reason = Reason::starting;
  Instant at{};
};

struct SwitchMemory {
  std::optional<bool> closed;
  std::optional<Instant> read_at;  ///< of the last successful read
  Reason fault = Reason::starting;
};

/// As gauges: a failed read is tolerated until the last good one is older than stale_after.
SwitchState follow(SwitchMemory& memory, const SwitchSample& sample, const SwitchRules& rules, Instant now);
/// What it said, without looking anew.
SwitchState state_of(const SwitchMemory& memory, const SwitchRules& rules, Instant now);

}  // namespace stillwell
