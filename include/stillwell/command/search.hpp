#pragma once
// `stillwell search`: finds what answers, or talks, on a serial line. Reads only.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::command {

struct SearchRequest {
  std::filesystem::path configuration;
  std::filesystem::path socket;
  std::string line;    ///< a line of the configuration, or a device path
  std::string speeds;  ///< "9600 8N1, 19200 8E1"; empty: the line's own, then the usual ones
  std::string stations = "1-247";
  std::string reply_within = "150 ms";
  bool all = false;  ///< goes on when something was recognized
  bool json = false;
};

/// Exit code: 0 something was recognized; 1 nothing was; 2 usage; 3 the port cannot be opened or was lost; 4
/// a daemon or another program holds it.
int search(const SearchRequest& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
