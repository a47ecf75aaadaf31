#pragma once
// Which port a search means, and whether it may have it.

#include "stillwell/config/configuration.hpp"
#include "stillwell/quantity/result.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace stillwell::command {

struct SearchTarget {
  config::LineWiring line;
  bool is_configured = false;           ///< a line of the configuration, also when its port was named
  std::vector<std::string> contacts{};  ///< what is switched on it, as far as a configuration says
};

/// Whether it is a path, not a name.
bool names_a_device(const std::string& named);

/// A name is looked up in the configuration; a path needs none. The failure is a usage error.
Result<SearchTarget> target_of(const std::string& named, const std::optional<config::Configuration>& known);

/// Rule 20: why the line is refused; empty when it is free. A daemon that has the line holds it also while
/// its port is away.
std::optional<std::string> held_against(const SearchTarget& target, const std::filesystem::path& socket);

}  // namespace stillwell::command
