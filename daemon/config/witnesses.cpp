#include "stillwell/config/build.hpp"

#include <map>

namespace stillwell::config {
namespace {

/// One that stands for two pumps is told at the second.
void claim_witness(Build& build, const Checked& pump, std::string_view guard, const Checked* section,
                   std::map<std::size_t, std::string>& pumps_by_switch) {
  const auto input = section == nullptr ? std::nullopt : build.refer(*section, "switch", "switches");
  if (!input) return;
  const auto [first, is_new] = pumps_by_switch.emplace(*input, pump.id);
  if (!is_new)
    build.tell(section->at("switch"), "pump '" + first->second + "' already has this switch as its " +
                                          std::string(guard) +
                                          "; while one runs it says nothing of the other");
}

}  // namespace

void check_witnesses(Build& build) {
  std::map<std::size_t, std::string> feedbacks;
  std::map<std::size_t, std::string> flows;
  for (const Checked& pump : build.root.named("pumps")) {
    claim_witness(build, pump, "feedback", pump.part("feedback"), feedbacks);
    const Checked* guard = pump.part("dry_run");
    claim_witness(build, pump, "flow switch", guard == nullptr ? nullptr : guard->part("flow"), flows);
  }
}

}  // namespace stillwell::config
