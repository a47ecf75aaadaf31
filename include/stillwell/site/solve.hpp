#pragma once
// One scan: the input image and the time in, orders for the contacts and the story of what happened out.
// Pure: the same image, memory and instant give the same outcome, bit for bit.

#include "stillwell/alarm/figures.hpp"
#include "stillwell/site/accounts.hpp"
#include "stillwell/site/clock_step.hpp"
#include "stillwell/site/command.hpp"
#include "stillwell/site/event.hpp"
#include "stillwell/site/model.hpp"
#include "stillwell/site/proof_lease.hpp"

#include <optional>
#include <vector>

namespace stillwell {

struct InputImage {
  Readings readings;
  std::vector<Command> commands;
  std::optional<LocalTime> local{};  ///< empty while the wall clock is not trusted
  std::optional<Stamp> wall{};       ///< what the wall clock shows, while it is trusted
  bool state_is_kept = true;         ///< what must outlive a power cut is on the disk
  std::optional<Instant> durable{};  ///< the newest scan that is; empty where nothing is kept
  bool observing = false;  ///< every contact is held off, and orders are only told (site/observe.hpp)
};

/// The level that people are shown, without its ripples; empty while the level is not known.
struct SmoothedLevel {
  std::optional<Metres> level;
  Instant at{};
};

/// How a line answers: its counts when something on it answered last.
struct LineMemory {
  std::uint64_t answered = 0;
  std::uint64_t failed = 0;
  bool down = false;
};

/// All that lives between scans: one struct that can be copied, compared against a rehearsal, saved and
/// restored.
struct Memory {
  std::vector<GaugeMemory> gauges;
  std::vector<SwitchMemory> switches;
  std::vector<MarkMemory> marks;  ///< by switch; of those that hang at a mark
  std::vector<MeterMemory> meters;
  std::vector<Level> levels;  ///< of each tank in the last scan, so that a change of quality is an event once
  std::vector<SmoothedLevel> smoothed;
  std::vector<AlarmMemory> alarms;
  std::vector<PumpMemory> pumps;
  std::vector<PumpSetMemory> sets;
  std::vector<AnnunciatorMemory> annunciators;
  std::vector<LineMemory> lines;
  std::vector<bool> tanks_out;      ///< out of service, by a person
  bool flood = false;               ///< of alarms
  std::optional<ProofLease> proof;  ///< under way; does not survive a restart
  ClockMemory clock;
  Accounts accounts;
};

/// A fresh memory for a model: nothing known, nothing running.
Memory remember_nothing(const Model& model);

struct TankView {
  Level level;
  std::optional<Contents> contents;  ///< at the smoothed level; present while the level is usable
  std::optional<Metres> last_level;  ///< the last accepted one, for display beside a bad quality
  std::vector<Refused> refused;
  TankFigures figures{};
  bool out_of_service = false;
  std::optional<FloatSight> floats{};  ///< where the water stands, of a tank that is kept by floats
};

struct AlarmView {
  AlarmState state = AlarmState::normal;
  std::optional<Instant> since;
  std::optional<Shelf> shelf{};
  std::optional<std::size_t> brought_by{};  ///< the alarm whose consequence it is, by position
  std::size_t raised_today = 0;             ///< within the last 24 hours
};

/// What a pump's meter shows.
struct MotorView {
  LoadKind kind = LoadKind::power;
  std::optional<MotorLoad> load;  ///< as last read; empty while it is not known
  std::optional<Joules> used{};   ///< in all; absent where the meter shows amperes
};

struct PumpView {
  PumpState state = PumpState::stopped;
  Order order = Order::off;
  std::optional<bool> contact;  ///< as confirmed
  bool confirmed_off = false;   ///< now, and its motor seen to stand where something shows it
  Mode mode = Mode::automatic;
  std::vector<Cause> held_by;
  std::optional<Cause> first_out;
  std::optional<Cause> lock_out{};
  Duration run_time{0};
  std::uint64_t start_count = 0;
  std::optional<Stamp> last_start{};  ///< by the wall clock; absent before the first
  std::optional<Stamp> last_stop{};
  std::optional<Litres> moved{};     ///< in all, by the nameplate; absent without one
  std::optional<MotorView> motor{};  ///< absent without a meter
  std::optional<double> wear{};      ///< flow as measured lately over the nameplate's; 1 is as new
};

struct AnnunciatorView {
  AnnunciatorState state = AnnunciatorState::quiet;
  std::optional<Instant> since;  ///< of the last change of state
  Order order = Order::off;      ///< on: it sounds, also for a test
  std::optional<bool> contact;   ///< as confirmed
};

/// What to show and publish; in the order of the model's lists.
struct View {
  std::vector<TankView> tanks;
  std::vector<AlarmView> alarms;
  std::vector<PumpView> pumps;
  std::vector<AnnunciatorView> annunciators;
  std::vector<LineSample> lines;
  AlarmFigures alarm_figures{};
  std::vector<GaugeSample> gauges{};  ///< the newest of each, before anybody decides whether to believe it
};

struct Outcome {
  Instant at{};
  std::vector<Order> contacts;  ///< every one off unless a pump earned it, or an alarm sounds it
  std::vector<Event> events;
  bool must_be_kept = false;  ///< what must outlive a power cut changed, although no event may tell of it
  std::vector<Answer> answers;
  View view;
};

Outcome solve(const Model& model, Memory& memory, const InputImage& image, Instant now);

}  // namespace stillwell
