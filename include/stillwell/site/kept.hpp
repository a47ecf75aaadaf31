#pragma once
// What must outlive the daemon: who switched a pump off, what locked it out, how often it started, which
// alarms nobody has seen yet. Told by id, so that a changed configuration keeps what still bears its name.

#include "stillwell/site/solve.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace stillwell {

struct KeptPump {
  std::string id;
  Mode mode = Mode::off;
  std::optional<Cause> lock_out;
  std::optional<Cause> first_out;
  int feedback_failures = 0;
  std::size_t recent_starts = 0;  ///< within the last hour
  Duration run_time{0};           ///< of all finished runs
  std::uint64_t start_count = 0;

  friend bool operator==(const KeptPump&, const KeptPump&) = default;
};

struct KeptAlarm {
  std::string id;
  AlarmState state = AlarmState::normal;
  bool active = false;

  friend bool operator==(const KeptAlarm&, const KeptAlarm&) = default;
};

struct Kept {
  std::vector<KeptPump> pumps;
  std::vector<KeptAlarm> alarms;

  friend bool operator==(const Kept&, const Kept&) = default;
};

Kept keep(const Model& model, const Memory& memory, Instant now);

/// Puts back what was kept. Rule 22: nobody knows how long the daemon was away, so the starts of the last
/// hour count as just made, and rests begin anew by themselves.
void restore(const Model& model, const Kept& kept, Memory& memory, Instant now);

/// Rule 23: what was kept is lost, so every pump is off until a person says otherwise.
void distrust(Memory& memory);

}  // namespace stillwell
