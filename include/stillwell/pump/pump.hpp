#pragma once
// One pump: what it may run on, what stops it, and what becomes of it. Pure: rules, memory and inputs in, the
// order for its contact out. Everything begins at *stop*; evidence earns *permit*.

#include "stillwell/pump/causes.hpp"
#include "stillwell/pump/dry_run.hpp"
#include "stillwell/pump/motor_starts.hpp"
#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/contact.hpp"
#include "stillwell/reading/delay.hpp"
#include "stillwell/reading/gauge.hpp"
#include "stillwell/reading/meter.hpp"
#include "stillwell/reading/switch.hpp"
#include "stillwell/tank/floats.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell {

enum class Duty : std::uint8_t { fill, drain };
/// A valve is a pump without suction.
enum class Drive : std::uint8_t { pump, valve };
enum class Mode : std::uint8_t { automatic, hand, off };
/// Where a person's word comes from: the spot, or a network, from where nobody sees the pump and less is
/// allowed.
enum class Origin : std::uint8_t { local, network };
enum class PumpState : std::uint8_t {
  stopped,
  waiting,
  starting,
  running,
  tripped,
  locked_out,
  out_of_service
};

std::string_view to_word(Duty duty);
std::string_view to_word(Drive drive);
std::string_view to_word(Mode mode);
std::string_view to_word(PumpState state);

struct Feedback {
  SwitchIndex input;
  Duration within{};  ///< how long the contactor may take to follow
};

/// A second contactor above the first: closed unless the motor is stuck on (rule 12).
struct Isolator {
  ContactIndex contact;
  Duration within{};  ///< how long it may take to be confirmed, by its own reading period
};

/// The switches of a panel, where there are some (rule 15). Both on at once is off.
struct Selector {
  std::optional<SwitchIndex> off;
  std::optional<SwitchIndex> hand;
};

/// A sump that must not flood: once its level is unknown for a minute the drain pump runs for so long, so
/// often.
struct BlindRuns {
  Duration run_for{};
  Duration every{};
};

/// Minutes of the local day, [from, to); across midnight when to < from.
struct DayWindow {
  int from = 0;
  int to = 0;
};

struct PumpLimits {
  Duration on_at_least{};
  Duration off_at_least{};
  Duration run_at_most{};  ///< zero: not limited
  Duration after_power_up{};
  int starts_per_hour = 0;  ///< zero: not limited
};

struct Pump {
  std::string id;
  std::string name;
  Drive drive = Drive::pump;
  Duty duty = Duty::fill;
  TankIndex tank;                     ///< fill: the tank that receives. drain: the tank that is emptied
  std::optional<TankIndex> source;    ///< the suction; for a drain pump, its tank
  std::optional<TankIndex> receiver;  ///< drain: the tank that receives, when one is named
  bool source_is_measured = true;     ///< false: floats keep its suction, and no level guards it
  std::optional<TankFloats>
      floats{};                     ///< those of its tank, where it has no gauge; the levels below are unset
  Metres start_level{};             ///< fill: at or below. drain: at or above
  Metres stop_level{};              ///< fill: at or above. drain: at or below
  std::optional<Metres> high_trip;  ///< fill: of its tank. drain: of its receiver
  std::optional<Metres> source_below;  ///< trips below this
  std::optional<Metres> source_clear;  ///< and may run again from here
  std::optional<SwitchIndex> float_trip;
  std::optional<SwitchIndex> source_float;
  ContactIndex contact;
  Duration contact_within{};  ///< how long a contact may take to be confirmed before it is unreachable
  std::optional<Feedback> feedback;
  std::optional<Isolator> isolator;
  Selector selector;
  DryRunGuards dry_run;
  std::optional<RiseGuard> unasked{};     ///< its tank moves so fast its way only when its motor runs
  std::vector<PumpIndex> needs;           ///< must be proved on before it starts, and as long as it runs
  std::optional<BlindRuns> when_unknown;  ///< drain alone; otherwise an unknown level stops it
  PumpLimits limits;
  std::vector<DayWindow> allowed;  ///< empty: always
  std::optional<LitresPerSecond> flow_rate;
  std::optional<MotorPlate> motor;    ///< for `check` alone
  Mode first_mode = Mode::automatic;  ///< never hand
  Duration hand_for = std::chrono::minutes{15};
};

/// Where it draws from and where it delivers; empty where the site does not watch that.
std::optional<TankIndex> suction_of(const Pump& pump);
std::optional<TankIndex> delivery_of(const Pump& pump);

/// What a pump sees in one scan.
struct PumpInputs {
  Level tank;
  std::optional<Level> source;
  std::optional<Level> receiver;
  std::optional<FloatStates> floats{};  ///< of its tank, where it is kept by them
  std::optional<SwitchState> float_trip;
  std::optional<SwitchState> source_float;
  std::optional<SwitchState> feedback;
  std::optional<SwitchState> selector_off;
  std::optional<SwitchState> selector_hand;
  std::optional<SwitchState> flow;
  std::optional<MeterState> load;
  std::optional<ContactSample> isolator;
  ContactSample contact;
  std::optional<int> minute_of_day;  ///< local; empty while the clock is not trusted
  bool is_out = false;               ///< the pump, or a tank that it touches, is out of service
  bool clock_stepped = false;        ///< a moment ago; what the time of day allows may not be true
  bool is_released = false;          ///< every contact was released, and this pump not reset since
  bool peer_is_dry = false;          ///< another pump on the same suction has run dry
  bool has_needs = true;             ///< all that it needs is proved on
  bool may_join = true;              ///< no other pump has just started
  bool is_helped = false;            ///< another that moves its tank the same way is not proved off
  std::optional<bool> called{};      ///< in a set: whether it is its turn; the level then asks the set
  std::optional<Instant> durable;    ///< what was noted up to then is on the disk; empty: nothing is kept
  std::optional<Stamp> wall{};       ///< what the wall clock shows now, for people alone
  Instant now{};
};

/// Everything about a pump that lives between scans.
struct PumpMemory {
  Mode mode = Mode::automatic;
  Mode after_hand = Mode::automatic;  ///< what hand ends in
  Instant hand_until{};
  bool in_hand = false;          ///< in the last scan, by a command or at the panel
  bool had_enough = false;       ///< in hand: it has reached its stop level
  bool out_of_service = false;   ///< itself, by a person
  bool released = false;         ///< with all others, until a person resets it (rule 19)
  std::optional<Instant> began;  ///< first scan: rest and power-up count from here
  bool demand = false;           ///< level asked for it and has not been satisfied
  Order order = Order::off;
  Instant ordered_at{};                ///< when the order last changed; the epoch before the first one
  std::vector<Instant> starts;         ///< within the last hour, oldest first
  std::optional<Instant> noted_start;  ///< rule 23: since then a start waits for the disk to have it
  std::optional<Instant> last_start;
  std::optional<Instant> last_stop;  ///< moves on while the motor may still be running
  std::optional<Stamp> started_at;   ///< last, by the wall clock, also of a daemon before; no rule asks
  std::optional<Stamp> stopped_at;
  Delay doubt;                       ///< the contact is not confirmed as ordered
  bool was_closed = false;           ///< the contact was confirmed on since it was ordered so
  Delay deviation;                   ///< the feedback contradicts the confirmed contact
  Delay unasked;                     ///< its motor or its flow is seen at work while it is off
  std::optional<Mark> unasked_mark;  ///< while it is off: from where its tank may not move on
  bool moves_unasked = false;        ///< it did, and has not been seen to stand since
  DryRunMemory dry_run;
  std::optional<Instant> unknown_since;  ///< the level of the tank, for the blind runs
  bool blind = false;                    ///< one of them is on
  Order isolator = Order::off;           ///< off: open
  Instant isolator_at{};                 ///< when that order last changed
  Delay isolator_doubt;                  ///< it is not confirmed as ordered
  bool isolator_was_closed = false;      ///< confirmed since it was ordered so
  bool isolator_lost = false;            ///< for so long that somebody must be told
  bool source_is_low = true;  ///< between source_below and source_clear the last verdict stands; at first
                              ///< nothing was seen that earns a permit
  bool is_high = false;       ///< likewise between the high trip and where it clears
  int feedback_failures = 0;
  std::optional<Cause> lock_out;
  std::optional<Cause> first_out;  ///< of the last trip, kept until the next one
  bool tripped = false;
  std::optional<Cause> refusal;  ///< told: why the motor may run although it is ordered off
  bool proved_off = false;       ///< in the last scan: the contact, and the motor where something shows it
  bool proved_on = false;        ///< likewise
  bool passes_turn = false;      ///< rule 8: in a set the next one takes its turn, for what holds this one
  Duration run_time{0};          ///< in all
  std::uint64_t start_count = 0;
  bool off_by_network = false;  ///< rule 15: the off that stands was sent, and what was sent may undo it
  bool reset_by_network =
      false;  ///< rule 10: the last reset was sent, and the pump has not proved itself since
};

/// What happened to a pump in a scan; the site gives it words.
struct PumpEvent {
  /// recover: a trip ended by itself, which is not yet a start.
  enum class Kind : std::uint8_t { start, stop, trip, lock_out, recover } kind = Kind::stop;
  std::optional<Cause> cause;  ///< empty: the level was reached, or asked for it. recover: what tripped it
};

struct PumpOutcome {
  Order order = Order::off;
  Order isolator = Order::off;  ///< for the isolator's contact, where there is one
  PumpState state = PumpState::stopped;
  std::vector<Cause> held_by;  ///< every cause that is not *permit*, worst first
  std::vector<PumpEvent> events;
};

/// One scan of one pump.
PumpOutcome solve(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs);

/// A person changes the mode to automatic or off, here and now. Off wins at the next scan over everything.
/// False, and nothing changes, when the network would undo an off that was said on the spot (rule 15).
bool set_mode(PumpMemory& memory, Mode mode, Origin origin = Origin::local);
/// Rule 17: hand, until it ends by itself in the mode before it. False when the network would undo a local
/// off, or renew a hand that has not ended.
bool set_hand(PumpMemory& memory, Instant until, Origin origin = Origin::local);
/// The mode that holds in this scan: what was said, the panel's selector above hand and automatic.
Mode mode_now(const PumpMemory& memory, const PumpInputs& inputs);
/// Rule 8: it has run dry, and rests or is locked out for it.
bool is_dry(const PumpMemory& memory);
/// A person ends a lock-out or a release, or forgives a missing feedback. False when there was nothing, when
/// the motor was stuck on and is not proved off, or when the network asks for what is a person's on the spot:
/// the end of that lock-out or of a release, a second reset (rule 10), forgiveness.
bool reset(PumpMemory& memory, Origin origin = Origin::local);

}  // namespace stillwell
