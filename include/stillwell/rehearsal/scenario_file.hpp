#pragma once
// A scenario as a file (YAML): how full the tanks begin, what flows, where the floats hang, what fails when.
// Every key is optional; quantities carry units as in the configuration. Example: config/demo/scenario.yaml.
//
//   seed: 1                          of ripples and noise
//   air: 15 degC                     what companion registers of gauges show
//   ripple: 2 mm                     how far surfaces move up and down
//   cycle: 2 min                     steps of flows begin anew after this long
//   tanks: { TANK: { start, brim, intake: LEVEL, inflow, draw: FLOW or [[TIME, FLOW], …] } }
//                                    a tank that is kept by floats is a pit of 500 L, 1 m deep
//   pumps: { PUMP: FLOW }            default: the configuration's flow_rate
//   switches: { SWITCH: { tank: TANK, on_above | on_below: LEVEL } }     contactor feedback and flow
//                                    switches follow their pump by themselves
//   meters: { METER: { pump: PUMP, wet: LOAD, dry: LOAD } }              in the supply of its motor
//   faults: [{ at: TIME, what: ID, fault: KIND, size: …, for: TIME }]    kinds: plant/fault.hpp

#include "stillwell/config/configuration.hpp"
#include "stillwell/plant/scenario.hpp"

#include <filesystem>
#include <optional>
#include <string_view>
#include <vector>

namespace stillwell::rehearsal {

/// A scenario when nothing was wrong, otherwise every problem found.
struct LoadedScenario {
  std::optional<plant::Scenario> scenario;
  std::vector<config::Problem> problems;
};

LoadedScenario load_scenario(const std::filesystem::path& file, const Model& model);
LoadedScenario parse_scenario(std::string_view text, const std::string& file_name, const Model& model);

}  // namespace stillwell::rehearsal
