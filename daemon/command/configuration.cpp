#include "stillwell/command/configuration.hpp"

#include <ostream>

namespace stillwell::command {

std::optional<config::Configuration> configuration_of(const std::filesystem::path& file, std::ostream& err) {
  config::Loaded loaded = config::load(file);
  for (const config::Problem& problem : loaded.problems)
    err << problem.to_text() << '\n';
  if (!loaded.configuration)
    err << "stillwell: " << file.string() << " is refused; mend what is told above\n";
  return std::move(loaded.configuration);
}

}  // namespace stillwell::command
