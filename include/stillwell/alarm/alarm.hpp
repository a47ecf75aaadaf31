#pragma once
// One alarm as ISA-18.2 / IEC 62682 draw it: a condition that a person must act on, from its rise through
// acknowledgement to its return. The states and transitions are those of tests/reference/09_alarm_states.csv.

#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/delay.hpp"
#include "stillwell/reading/gauge.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace stillwell {

enum class AlarmKind : std::uint8_t { low_low, low, high, high_high, unwell, leak };
enum class Priority : std::uint8_t { low, medium, high };
enum class AlarmState : std::uint8_t {
  normal,
  unacknowledged,
  acknowledged,
  returned_unacknowledged,
  latched_unacknowledged,
  latched_acknowledged,
};

std::string_view to_word(AlarmKind kind);
/// Whether it watches the level against a set point.
bool is_of_level(AlarmKind kind);
std::string_view to_word(Priority priority);
std::string_view to_word(AlarmState state);

struct Alarm {
  std::string id;  ///< "header/low": the tank and the kind
  TankIndex tank;
  AlarmKind kind = AlarmKind::low;
  Metres at{};                  ///< the level at which a level alarm rises; unused by the other kinds
  Metres clears_at{};           ///< and the one past which it clears: `at` moved by the deadband
  LitresPerSecond more_than{};  ///< leak alone: the night flow above which it rises
  Duration after{};             ///< on-delay
  Priority priority = Priority::medium;
  bool latch = false;  ///< stays until reset by a person after it returned
};

struct AlarmMemory {
  AlarmState state = AlarmState::normal;
  bool active = false;  ///< the condition, with deadband and delay
  Delay delay;
  std::optional<Instant> since;  ///< of the last change of state
};

/// Whether the condition holds: true, false, or empty when a bad value forbids to say (then nothing changes).
/// Of a leak a level says nothing: its condition is what the last night showed.
std::optional<bool> condition(const Alarm& alarm, bool active, const Level& level);

/// One scan. True when the state changed.
bool follow(AlarmMemory& memory, const Alarm& alarm, std::optional<bool> holds, Instant now);
/// The same for an alarm whose condition the level says.
bool follow(AlarmMemory& memory, const Alarm& alarm, const Level& level, Instant now);

/// A person saw it. False when there was nothing to acknowledge.
bool acknowledge(AlarmMemory& memory, Instant now);
/// Ends a latched alarm whose cause has gone and that was acknowledged. False otherwise.
bool reset(AlarmMemory& memory, Instant now);

}  // namespace stillwell
