#include "stillwell/config/findings.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Rule = void (*)(const Configuration&, Findings&);

constexpr std::array<Rule, 34> kExaminations{
    find_full_in_blanking,
    find_floor_beyond_reach,
    find_beam_on_wall,
    find_distance_uncorrected,
    find_jumps_unseen,
    find_pump_faster_than_fastest,
    find_frame_without_sum,
    find_alarms_out_of_order,
    find_alarms_in_pump_range,
    find_nuisance_alarms,
    find_mostly_high_priority,
    find_rate_alarms_in_pump_range,
    find_dry_run_guard_missing,
    find_power_below_rating,
    find_contact_without_dropout,
    find_broken_wire_unseen,
    find_sensing_and_contact_on_one_line,
    find_short_cycle,
    find_motor_overworked,
    find_range_within_noise,
    find_run_at_most_too_short,
    find_suction_trip_below_outlet,
    find_unseen_broken_loop,
    find_movement_beyond_flow,
    find_retry_within_rest,
    find_blind_run_too_long,
    find_isolator_beside_contact,
    find_priority_unsounded,
    find_annunciator_on_gauge_line,
    find_scan_slower_than_timer,
    find_line_busy,
    find_broker_without_tls,
    find_unset_variable,
    find_program_unfit,
};

}  // namespace

std::vector<Finding> examine(const Configuration& configuration) {
  Findings findings;
  for (const Rule rule : kExaminations)
    rule(configuration, findings);
  return findings.take();
}

void Findings::add(std::string_view code, Severity severity, const Subject& of, std::string text) {
  std::string path = std::string(of.section) + "." + std::string(of.id);
  if (const auto alarm = path.find('/'); alarm != std::string::npos) path.replace(alarm, 1, ".alarms.");
  all_.push_back({std::string(code), severity, std::string(of.id), std::move(path), std::move(text)});
}

Place place_of(const Loaded& loaded, const Finding& finding) {
  auto found = loaded.places.find(finding.path);
  // The site and the broker are sections of their own: their names stand inside.
  if (found == loaded.places.end())
    found = loaded.places.find(finding.path.substr(0, finding.path.find('.')));
  return found == loaded.places.end() ? Place{} : found->second;
}

std::string_view to_word(Severity severity) {
  return severity == Severity::warning ? "warning" : "note";
}

}  // namespace stillwell::config
