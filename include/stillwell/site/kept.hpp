#pragma once
// What must outlive the daemon: who switched a pump off, what locked it out, how often it started, which
// alarms nobody has seen yet; and the water accounts. Told by id, so that a changed configuration keeps what
// still bears its name.

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
  bool tripped = false;
  int feedback_failures = 0;
  int dry_failures = 0;
  std::optional<Cause> dry_cause{};  ///< for which it rests; the rest begins anew (rule 22)
  bool out_of_service = false;
  bool released = false;
  std::size_t recent_starts = 0;  ///< within the last hour, and the one that is about to be made
  Duration run_time{0};           ///< of all finished runs
  std::uint64_t start_count = 0;
  bool off_by_network = false;
  bool reset_by_network = false;
  bool started_last = false;  ///< of its set, or is about to
  std::optional<Stamp> started_at{};
  std::optional<Stamp> stopped_at{};

  friend bool operator==(const KeptPump&, const KeptPump&) = default;
};

/// Its instants are those of the run that wrote it; Kept::since and the time away tell what they are now.
struct KeptAlarm {
  std::string id;
  AlarmState state = AlarmState::normal;
  bool active = false;
  bool unreset = false;
  bool heard = false;
  std::optional<Instant> since{};
  std::optional<Instant> began{};
  std::optional<Instant> shelved_until{};
  std::string shelved_because{};
  std::vector<Instant> raised{};
  std::uint64_t raised_count = 0;

  friend bool operator==(const KeptAlarm&, const KeptAlarm&) = default;
};

/// Rule 4: where the water was seen last, and what was refused then. A false echo that stands through a
/// restart is still a false echo.
struct KeptGauge {
  std::string id;
  Metres to_floor{};            ///< of its mounting: measured anew, the level means something else
  std::optional<Metres> level;  ///< the last accepted one
  std::optional<Metres> fence_above;
  std::optional<Metres> fence_below;
  bool frozen = false;

  [[nodiscard]] bool doubting() const { return fence_above || fence_below || frozen; }
  friend bool operator==(const KeptGauge&, const KeptGauge&) = default;
};

/// The books of a tank. Time that passes between the last save and the next start is unknown, not dry.
struct KeptTank {
  std::string id;
  FlowAccount account;
  std::optional<Night> night;

  friend bool operator==(const KeptTank&, const KeptTank&) = default;
};

/// What a pump has done in its life.
struct KeptWork {
  std::string id;  ///< of the pump
  Litres moved{};
  PumpWear wear;
  Joules used{};      ///< by its motor; zero where no meter shows it
  Duration ran_on{};  ///< in the run that is not finished; a power cut would lose it

  friend bool operator==(const KeptWork&, const KeptWork&) = default;
};

/// What is nice to have again, and changes with every scan: written with the rest, or now and then.
struct KeptAccounts {
  std::vector<KeptTank> tanks;
  std::vector<KeptWork> work;

  friend bool operator==(const KeptAccounts&, const KeptAccounts&) = default;
};

struct Kept {
  std::vector<KeptPump> pumps;
  std::vector<KeptAlarm> alarms;
  std::vector<std::string> tanks_out;  ///< out of service, by id
  std::vector<KeptGauge> gauges;       ///< their levels change with every scan, as the accounts do
  KeptAccounts accounts;
  // When it was written; the writer's to fill in.
  std::optional<Stamp> at;       ///< the latest wall time that was seen
  std::optional<Stamp> written;  ///< what the wall clock showed then; empty when nobody kept it right
  std::string boot;              ///< the run of the computer, by its id
  std::optional<Instant> since;  ///< within that run
  std::uint64_t seq = 0;         ///< the newest number of an event, for a journal that gets lost

  /// Whether all that guards a pump or a person is the same.
  [[nodiscard]] bool guards_as(const Kept& other) const;
  friend bool operator==(const Kept&, const Kept&) = default;
};

Kept keep(const Model& model, const Memory& memory, Instant now);

/// Puts back what was kept. Rule 22: nobody knows how long the daemon was away, so the starts of the last
/// hour count as just made, and rests begin anew by themselves.
/// `away`: since it was written; empty when the clock cannot tell. Then the water may be anywhere, but for
/// what was refused, and a shelved alarm comes back: its time never gets longer.
void restore(const Model& model, const Kept& kept, Memory& memory, Instant now, std::optional<Duration> away);

/// Pumps that are kept as held (locked out, off, released or out of service) and are no longer configured:
/// one that was given another name would lose that.
std::vector<std::string> heirless(const Model& model, const Kept& kept);
/// Pumps of which nothing is kept begin off. Their ids.
std::vector<std::string> switch_off_newcomers(const Model& model, const Kept& kept, Memory& memory);

/// Rule 23: a disk that refuses may have missed the last starts, so every pump waits as if it had made all
/// that it may.
void spend_starts(const Model& model, Memory& memory, Instant now);

/// Rule 23: what was kept is lost, so every pump is off until a person says otherwise, and an alarm says so.
void distrust(const Model& model, Memory& memory, Instant now);

}  // namespace stillwell
