#pragma once
// What `status` shows: the site as the last scan saw it, with names and words instead of positions. Goes over
// the local socket as one line of JSON whose fields bear these names.

#include "stillwell/quantity/result.hpp"
#include "stillwell/report/journal.hpp"
#include "stillwell/report/scan_health.hpp"
#include "stillwell/site/solve.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

struct DayStatus {
  double inflow_l = 0.0;
  double outflow_l = 0.0;
  double known_h = 0.0;
  double unknown_h = 0.0;
};

/// A reading that nobody believes; `stillwell accept TANK` would.
struct RefusedStatus {
  std::string gauge;
  double level_m = 0.0;
};

struct TankStatus {
  std::string id;
  std::string name;
  std::optional<double> level_m;  ///< this and the next four are absent while the level is bad
  std::optional<double> percent;
  std::optional<double> volume_l;
  std::optional<double> usable_l;
  std::optional<double> ullage_l;
  std::optional<double> last_percent;  ///< of the last accepted level, however old
  std::string quality;
  std::string reason;
  std::vector<RefusedStatus> refused;
  std::optional<double> age_s;  ///< since the last accepted reading; absent before the first
  double uncertainty_m = 0.0;
  bool out_of_service = false;
  std::optional<double> rate_mm_min;  ///< zero: still, as far as can be seen
  std::optional<double> flow_l_min;   ///< net change of the contents
  std::optional<double> time_to_empty_s;
  std::optional<double> time_to_full_s;
  std::optional<DayStatus> today;
  std::optional<DayStatus> yesterday;
  std::optional<double> days_left;
  std::optional<double> night_flow_l_h;  ///< of the last night that told
  std::optional<bool> leak;              ///< whether it was above the limit; absent without one
  std::optional<std::string> floats{};   ///< where they see the water; of a tank that has no gauge
};

struct AlarmStatus {
  std::string id;
  std::string state;
  std::string priority;
  std::optional<Stamp> since;                 ///< of the last change of state
  std::optional<Stamp> shelved_until;         ///< while it is shelved
  std::optional<std::string> because;         ///< why it is
  std::optional<std::string> consequence_of;  ///< the alarm that came first and brought it
  std::uint64_t raised_today = 0;             ///< how often it rose within 24 hours
};

struct LongestStatus {
  std::string id;
  Stamp since{};
};
struct FrequentStatus {
  std::string id;
  std::uint64_t count = 0;
};

/// What all alarms together ask of a person (alarm/figures.hpp).
struct AlarmFiguresStatus {
  std::uint64_t last_day = 0;
  std::uint64_t last_ten_minutes = 0;
  std::uint64_t standing = 0;
  std::optional<LongestStatus> longest_standing{};
  std::optional<FrequentStatus> most_frequent{};
  bool flood = false;
  bool over_demanding = false;  ///< more in 24 hours than the published average
};

struct PumpStatus {
  std::string id;
  std::string name;
  std::string state;
  std::string mode;
  std::string order;           ///< on | off
  std::string contact;         ///< as confirmed: on | off | unknown
  bool confirmed_off = false;  ///< now, and its motor seen to stand where something shows it
  std::vector<std::string> held_by;
  std::optional<std::string> first_out;
  double run_hours = 0.0;
  std::uint64_t starts = 0;
  std::optional<Stamp> last_start;  ///< by the wall clock, also before the daemon was started anew
  std::optional<Stamp> last_stop;
  std::optional<double> volume_moved_l;
  std::optional<double> wear_percent;  ///< flow lately, of the nameplate's
  // By its meter; absent without one, and while it cannot be read.
  std::optional<double> power_w;
  std::optional<double> current_a;
  std::optional<double> energy_kwh;  ///< used in all, as far as it was seen
};

struct AnnunciatorStatus {
  std::string id;
  bool sounding = false;       ///< it is ordered on, for an alarm or a test
  bool silenced = false;       ///< an alarm stands, and a person has heard it
  std::string contact;         ///< as confirmed: on | off | unknown
  std::optional<Stamp> since;  ///< of the last change between quiet, sounding and silenced
};

/// What a gauge sent last, before anybody decided whether to believe it.
struct GaugeStatus {
  std::string id;
  std::optional<double> reading_m;  ///< distance or depth as it reported it; absent when it did not
  std::optional<double> air_degc;   ///< this and the next two beside it, where it has them
  std::optional<double> humidity_percent;
  std::optional<double> water_degc;
  std::string fault;               ///< why there is no reading; none with one
  std::uint64_t monotonic_ns = 0;  ///< when it came, by CLOCK_MONOTONIC: the same number is the same reading
};

struct LineStatus {
  std::string id;
  bool open = false;
  std::optional<std::string> trouble;  ///< why it is not open, once that is known
  std::uint64_t answered = 0;
  std::uint64_t failed = 0;
};

struct ScanStatus {
  std::uint64_t scans = 0;
  std::uint64_t missed = 0;
  double worst_delay_ms = 0.0;
};

struct EventStatus {
  Stamp at{};
  std::uint64_t seq = 0;
  std::string kind;
  std::string of;
  std::string cause;
  std::string text;
};

struct Snapshot {
  std::string site;
  std::string name;
  std::string version;
  std::string configuration_crc_32;  ///< of the file that the daemon has read
  Stamp at{};
  std::string broker;  ///< none | connected | away
  ScanStatus scan;
  std::vector<TankStatus> tanks;
  std::vector<AlarmStatus> alarms;
  AlarmFiguresStatus alarm_figures;
  std::vector<PumpStatus> pumps;
  std::vector<AnnunciatorStatus> annunciators;
  std::vector<LineStatus> lines;
  std::vector<GaugeStatus> gauges;
  std::vector<EventStatus> events;  ///< the last few, oldest first
};

/// What a snapshot says beside the scan itself.
struct Surroundings {
  Stamp wall{};          ///< the wall time of the scan
  std::string version;   ///< of the program
  std::string checksum;  ///< of its configuration
  std::string broker;
  std::vector<Entry> recent;
  ScanHealth health{};
};

Snapshot snapshot(const Model& model, const Outcome& outcome, const Surroundings& surroundings);

/// Shelved, suppressed or out of service: a person decided so, or the design.
bool is_aside(const AlarmStatus& alarm);
/// Neither normal nor put aside.
bool is_pressing(const AlarmStatus& alarm);
/// Whether a person should look: an alarm that is not normal, a pump tripped or locked out, a level that is
/// not known, a line that is closed.
bool needs_attention(const Snapshot& snapshot);

/// One line without its end.
std::string to_json(const Snapshot& snapshot);
/// The failure says what is missing or of the wrong kind. Fields that are not known are ignored.
Result<Snapshot> parse_snapshot(std::string_view json);

}  // namespace stillwell::report
