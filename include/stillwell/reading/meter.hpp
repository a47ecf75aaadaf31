#pragma once
// What a motor takes: its power or its current, as a meter in its supply shows it. A meter that could not be
// read lately shows nothing.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/quality.hpp"
#include "stillwell/reading/sample.hpp"

#include <cstdint>
#include <optional>

namespace stillwell {

enum class LoadKind : std::uint8_t { power, current };

struct MeterRules {
  LoadKind kind = LoadKind::power;
  Duration stale_after{};
};

/// What a motor takes, in watts or amperes; the configuration compares like with like.
using MotorLoad = Quantity<struct MotorLoadTag>;

struct MeterState {
  std::optional<MotorLoad> load;  ///< empty when it cannot be known; never NaN, never less than nothing
  Reason reason = Reason::starting;
  Instant at{};
};

struct MeterMemory {
  std::optional<MotorLoad> load;
  std::optional<Instant> read_at;  ///< of the last successful read
  Reason fault = Reason::starting;
};

/// As switches: a failed read is tolerated until the last good one is older than stale_after. A number that
/// is none is a failed read. Below nothing is nothing: idle meters show a few watts less than none, and one
/// whose transformer sits the wrong way round must not pass for a motor at work.
MeterState follow(MeterMemory& memory, const MeterSample& sample, const MeterRules& rules, Instant now);

}  // namespace stillwell
