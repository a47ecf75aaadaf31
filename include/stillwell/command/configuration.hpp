#pragma once
// The configuration of a command that needs it whole.

#include "stillwell/config/configuration.hpp"

#include <filesystem>
#include <iosfwd>
#include <optional>

namespace stillwell::command {

/// Empty when the file has errors; all of them are then told to err, and that it is refused.
std::optional<config::Configuration> configuration_of(const std::filesystem::path& file, std::ostream& err);

}  // namespace stillwell::command
