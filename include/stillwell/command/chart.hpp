#pragma once
// `stillwell chart`: the dip chart of a tank, from the configuration alone.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::command {

struct ChartRequest {
  std::filesystem::path configuration;
  std::string tank;
  std::string step;  ///< "1 cm"
  std::string at;    ///< a file of levels instead of steps; empty: none
  std::string svg;   ///< a file to draw into, or "-" for out; then neither of the others, and no levels
  bool csv = false;
  bool json = false;
};

/// Prints level, contents, usable contents, ullage and percent from the floor to the full line.
/// Exit code: 0 done, 2 the configuration, the tank or the levels are wrong, or the file cannot be written.
int chart(const ChartRequest& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
