#pragma once
// `stillwell names`: what a configuration calls its tanks, pumps and alarms, for shells and scripts.

#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

namespace stillwell::command {

/// What can be asked for: "tank", "pump", "gauge", …
std::vector<std::string> name_kinds();

struct NamesRequest {
  std::filesystem::path configuration;
  std::vector<std::string> kinds;  ///< of name_kinds()
  bool json = false;
};

/// Prints the names one a line, kind after kind, each kind in the order of the file. Exit code: 0 done, 2 the
/// configuration is wrong.
int names(const NamesRequest& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
