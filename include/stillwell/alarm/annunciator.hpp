#pragma once
// A horn or a lamp that calls people to alarms. It sounds for a new alarm, falls silent when a person says so
// or acknowledges, and ends by itself when all of its alarms have returned (trade practice after ISA-18.2).
// Pure: what it sees in a scan in, the order for its contact out. It decides about no pump.
//
// After a restart nobody knows whether it was silenced, so an alarm that nobody acknowledged sounds again,
// and the pause of one that was acknowledged begins anew.

#include "stillwell/alarm/alarm.hpp"
#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/contact.hpp"
#include "stillwell/reading/delay.hpp"
#include "stillwell/reading/press.hpp"

#include <chrono>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell {

/// How long a test sounds. Long enough to be heard across a yard, short enough to be no alarm. Common
/// practice, no source.
inline constexpr Duration kHornTest = std::chrono::seconds{3};

struct SilenceSwitch {
  SwitchIndex input;
  Duration debounce{};
};

struct Annunciator {
  std::string id;
  ContactIndex contact;
  Duration contact_within{};  ///< how long its contact may take to be confirmed before it is unreachable
  std::vector<Priority> sounds_for;  ///< it hears of no other alarm
  std::optional<SilenceSwitch> silence_switch;
  std::optional<Duration>
      again_after;  ///< how long a silence lasts while an alarm stands; empty: until a new one
};

bool sounds_for(const Annunciator& annunciator, Priority priority);

enum class AnnunciatorState : std::uint8_t { quiet, sounding, silenced };

/// What happened to it in a scan; the site gives it words.
enum class AnnunciatorEvent : std::uint8_t {
  sounds,
  sounds_after_start,
  sounds_again,
  silenced_by_switch,
  silenced_by_command,
  silenced_by_acknowledge,
  ended,
  test,
  contact_unreachable,
};

/// What one alarm did in a scan.
struct AlarmStep {
  AlarmState before = AlarmState::normal;  ///< at the end of the scan before
  AlarmState after = AlarmState::normal;
};

struct AnnunciatorInputs {
  std::span<const AlarmStep> alarms;  ///< those it sounds for
  std::optional<SwitchState> button;
  ContactSample contact;
  Instant now{};
};

/// Everything about an annunciator that lives between scans. None of it outlives the daemon.
struct AnnunciatorMemory {
  AnnunciatorState state = AnnunciatorState::quiet;
  std::optional<Instant> since;  ///< of the last change of state
  bool began = false;            ///< it saw a scan
  std::optional<Instant> tested;
  PressMemory button;
  Order order = Order::off;
  Instant ordered_at{};
  Delay doubt;  ///< the contact is not confirmed as ordered
  bool doubted = false;
};

struct AnnunciatorOutcome {
  Order order = Order::off;
  std::vector<AnnunciatorEvent> events;
};

/// One scan.
AnnunciatorOutcome follow(AnnunciatorMemory& memory, const Annunciator& annunciator,
                          const AnnunciatorInputs& inputs);

/// A person silences it. False when it was not sounding.
bool silence(AnnunciatorMemory& memory, Instant now);
/// A person wants to hear it, for kHornTest. Neither a silence nor an alarm is changed by that.
void test(AnnunciatorMemory& memory, Instant now);

}  // namespace stillwell
