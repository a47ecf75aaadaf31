#pragma once
// `stillwell section`: what is at which height of a tank, as text, table or drawing.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::command {

struct SectionRequest {
  std::filesystem::path configuration;
  std::string tank;
  std::string svg;  ///< a file to draw into, or "-" for out; at most one of svg, csv, json
  bool csv = false;
  bool json = false;
};

/// Exit code: 0 done, 2 the configuration or the tank is wrong, or the file cannot be written.
int section(const SectionRequest& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
