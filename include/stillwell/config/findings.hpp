#pragma once
// What is valid and still unwise: a function a rule of practice. Each finding gives its numbers, the rule
// with its source (or says that it is common practice), and what to change.

#include "stillwell/config/configuration.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::config {

/// What a finding is about, and under which section of the file it stands: {"tanks", "header"}.
struct Subject {
  std::string_view section;
  std::string_view id;  ///< an alarm's is TANK/KIND
};

/// Collects; so that a rule is a page without ceremony.
class Findings {
 public:
  void warn(std::string_view code, const Subject& of, std::string text) {
    add(code, Severity::warning, of, std::move(text));
  }
  void note(std::string_view code, const Subject& of, std::string text) {
    add(code, Severity::note, of, std::move(text));
  }
  [[nodiscard]] std::vector<Finding> take() { return std::move(all_); }

 private:
  void add(std::string_view code, Severity severity, const Subject& of, std::string text);

  std::vector<Finding> all_;
};

/// Whether all gauges of the tank hang on the line, or one of the floats that keep it: when it dies, nobody
/// knows where the water is.
bool is_seen_by(const Configuration& configuration, LineIndex line, TankIndex tank);

/// How fast a pump moves the level of its tank by itself, where the tank is widest.
struct Slowest {
  MetresPerSecond speed{};
  SquareMetres area{};
};
/// Empty without a flow_rate, and of a tank that has no shape.
std::optional<Slowest> slowest_by(const Pump& pump, const Tank& tank);

// What the sensor can see.
void find_full_in_blanking(const Configuration& configuration, Findings& findings);
void find_floor_beyond_reach(const Configuration& configuration, Findings& findings);
void find_beam_on_wall(const Configuration& configuration, Findings& findings);
void find_distance_uncorrected(const Configuration& configuration, Findings& findings);
void find_jumps_unseen(const Configuration& configuration, Findings& findings);
void find_pump_faster_than_fastest(const Configuration& configuration, Findings& findings);
void find_frame_without_sum(const Configuration& configuration, Findings& findings);
// Set points.
void find_alarms_out_of_order(const Configuration& configuration, Findings& findings);
void find_alarms_in_pump_range(const Configuration& configuration, Findings& findings);
// Alarms that people would learn to ignore.
void find_nuisance_alarms(const Configuration& configuration, Findings& findings);
void find_mostly_high_priority(const Configuration& configuration, Findings& findings);
void find_rate_alarms_in_pump_range(const Configuration& configuration, Findings& findings);
// Pumps and contacts.
void find_dry_run_guard_missing(const Configuration& configuration, Findings& findings);
void find_power_below_rating(const Configuration& configuration, Findings& findings);
void find_contact_without_dropout(const Configuration& configuration, Findings& findings);
void find_broken_wire_unseen(const Configuration& configuration, Findings& findings);
void find_sensing_and_contact_on_one_line(const Configuration& configuration, Findings& findings);
void find_short_cycle(const Configuration& configuration, Findings& findings);
void find_motor_overworked(const Configuration& configuration, Findings& findings);
void find_range_within_noise(const Configuration& configuration, Findings& findings);
void find_run_at_most_too_short(const Configuration& configuration, Findings& findings);
void find_suction_trip_below_outlet(const Configuration& configuration, Findings& findings);
// Guards that could not do what they are there for.
void find_unseen_broken_loop(const Configuration& configuration, Findings& findings);
void find_movement_beyond_flow(const Configuration& configuration, Findings& findings);
void find_retry_within_rest(const Configuration& configuration, Findings& findings);
void find_blind_run_too_long(const Configuration& configuration, Findings& findings);
void find_isolator_beside_contact(const Configuration& configuration, Findings& findings);
// Horns and lamps.
void find_priority_unsounded(const Configuration& configuration, Findings& findings);
void find_annunciator_on_gauge_line(const Configuration& configuration, Findings& findings);
// Time and wires.
void find_scan_slower_than_timer(const Configuration& configuration, Findings& findings);
void find_line_busy(const Configuration& configuration, Findings& findings);
// The broker.
void find_broker_without_tls(const Configuration& configuration, Findings& findings);
void find_unset_variable(const Configuration& configuration, Findings& findings);
// The program that is told.
void find_program_unfit(const Configuration& configuration, Findings& findings);

std::string_view to_word(Severity severity);

}  // namespace stillwell::config
