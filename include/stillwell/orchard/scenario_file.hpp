#pragma once
// A scenario as a file (YAML): how full the tanks begin, what flows, where the floats hang, what fails when.

#include "stillwell/config/configuration.hpp"
#include "stillwell/plant/scenario.hpp"

#include <filesystem>
#include <optional>
#include <string_view>
#include <vector>

namespace stillwell::orchard {

/// A scenario when nothing was wrong, otherwise every problem found.
struct LoadedScenario {
  std::optional<plant::Scenario> scenario;
  std::vector<config::Problem> problems;
};

LoadedScenario load_scenario(const std::filesystem::path& file, const Model& model);
LoadedScenario parse_scenario(std::string_view text, const std::string& file_name, const Model& model);

}  // namespace stillwell::orchard
