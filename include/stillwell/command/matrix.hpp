#pragma once
// `stillwell matrix`: the cause-and-effect matrix, from the configuration and the cause table alone.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::command {

struct MatrixRequest {
  std::filesystem::path configuration;  ///< not read for the modes, which are the same everywhere
  bool modes = false;
  std::string csv;  ///< a file to write instead, or "-" for out; at most one of csv, svg, json
  std::string svg;
  bool json = false;
};

/// Exit code: 0 done, 2 the configuration is wrong or the file cannot be written.
int matrix(const MatrixRequest& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
