#pragma once
// The tank that a command names, and what its papers say that they were made of.

#include "stillwell/config/configuration.hpp"
#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/result.hpp"

#include <filesystem>
#include <string>

namespace stillwell::command {

/// A failure names the tank that may have been meant.
Result<TankIndex> tank_named(const Model& model, const std::string& id);

/// "orchard.yaml, CRC-32 1a2b3c4d": the same wherever the file lies.
std::string source_of(const std::filesystem::path& file, const config::Configuration& configuration);

}  // namespace stillwell::command
