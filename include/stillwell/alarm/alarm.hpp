#pragma once
// One alarm as ISA-18.2 / IEC 62682 draw it: a condition that a person must act on, from its rise through
// acknowledgement to its return, or put aside for a time. The states and transitions are those of
// tests/reference/09_alarm_states.csv.
//
// A latched alarm that no person has reset counts as abnormal: put aside and brought back, it is latched and
// unacknowledged again, although the published rows would let it go. Nothing but a person ends it. And one
// that is latched and whose process is abnormal again is a new alarm; the published rows draw no line there.

#include "stillwell/alarm/kinds.hpp"
#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/delay.hpp"
#include "stillwell/reading/level.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace stillwell {

enum class Priority : std::uint8_t { low, medium, high };
enum class AlarmState : std::uint8_t {
  normal,
  unacknowledged,
  acknowledged,
  returned_unacknowledged,
  latched_unacknowledged,
  latched_acknowledged,
  shelved,
  suppressed,
  out_of_service,
};

std::string_view to_word(Priority priority);
std::string_view to_word(AlarmState state);
/// Its condition is there, whether or not somebody has seen it.
constexpr bool stands(AlarmState state) {
  return state == AlarmState::unacknowledged || state == AlarmState::acknowledged;
}
/// Put aside: nobody is told of it, whatever its condition does.
constexpr bool is_aside(AlarmState state) {
  return state >= AlarmState::shelved;
}

/// The gateway as the subject of an alarm.
struct Gateway {
  friend constexpr auto operator<=>(const Gateway&, const Gateway&) = default;
};
using AlarmSubject = std::variant<TankIndex, PumpIndex, ContactIndex, LineIndex, Gateway>;

struct Alarm {
  std::string id;  ///< "header/low": the thing that it is about, and the kind
  AlarmSubject of;
  AlarmKind kind = AlarmKind::low;
  Metres at{};                    ///< the level at which a level alarm rises; unused by the other kinds
  Metres clears_at{};             ///< and the one past which it clears: `at` moved by the deadband
  MetresPerSecond faster_than{};  ///< rising and falling alone: likewise, without sign
  MetresPerSecond clears_below{};
  LitresPerSecond more_than{};  ///< leak alone: the night flow above which it rises
  Duration after{};             ///< on-delay
  Duration clear_after{};       ///< off-delay
  Priority priority = Priority::medium;
  bool latch = false;                   ///< stays until reset by a person after it returned
  std::optional<Duration> again_after;  ///< one that still stands so long after it was acknowledged is new

  [[nodiscard]] const TankIndex* tank() const { return std::get_if<TankIndex>(&of); }
};

/// Put aside by a person for a time.
struct Shelf {
  Instant until{};
  std::string because;
};

struct AlarmMemory {
  AlarmState state = AlarmState::normal;
  bool active = false;   ///< the condition, with deadband and delays; followed also while it is put aside
  bool unreset = false;  ///< latched, and no person has reset it since it rose
  bool heard = false;    ///< people were told of it, and not yet that it is normal again
  Delay delay;           ///< towards active
  std::optional<Instant> absent;   ///< since when an active condition has not held, for the off-delay
  std::optional<Instant> began;    ///< since when it holds, before its delay
  std::optional<Instant> since;    ///< of the last change of state
  std::optional<Shelf> shelf;      ///< while it is shelved
  std::vector<Instant> raised;     ///< when it rose within the last day, oldest first; at most kMostRaised
  std::uint64_t raised_count = 0;  ///< in all
};

/// So many rises a day are remembered: one alarm alone can ask more of a person than is bearable
/// (alarm/figures.hpp), and that shows; who has more has learnt enough.
inline constexpr std::size_t kMostRaised = 150;

/// How often it rose lately; within a day at most.
std::size_t raised_within(const AlarmMemory& memory, Duration time, Instant now);

/// What puts an alarm aside by design, in this scan.
struct Aside {
  bool out_of_service = false;
  bool suppressed = false;
};

/// Whether a condition of the level holds: true, false, or empty when a bad value forbids to say (then
/// nothing changes), and for kinds of which a level says nothing.
std::optional<bool> condition(const Alarm& alarm, bool active, const Level& level);

/// The first half of a scan: the condition, with its delays. A bad value neither raises nor clears.
void judge(AlarmMemory& memory, const Alarm& alarm, std::optional<bool> holds, Instant now);
/// The second half: the state. True when it changed. Apart, because what puts one alarm aside may be the
/// condition of another.
bool settle(AlarmMemory& memory, const Alarm& alarm, Aside aside, Instant now);
/// Both.
bool follow(AlarmMemory& memory, const Alarm& alarm, std::optional<bool> holds, Aside aside, Instant now);

/// Rises in the next scan and is told there, whatever its delays, and may return from the one after: for what
/// happened before the first scan.
void raise_next(AlarmMemory& memory, Instant now);

/// A person saw it. False when there was nothing to acknowledge.
bool acknowledge(AlarmMemory& memory, Instant now);
/// Ends a latched alarm whose cause has gone. False otherwise.
bool reset(AlarmMemory& memory, Instant now);
/// Puts it aside until then. False when it is put aside already.
bool shelve(AlarmMemory& memory, Shelf shelf, Instant now);
/// Brings it back before its time. False when it is not shelved.
bool unshelve(AlarmMemory& memory, const Alarm& alarm, Instant now);

}  // namespace stillwell
