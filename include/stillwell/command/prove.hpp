#pragma once
// The proof test of a pump: forces each cause in turn at the running daemon, watches what becomes of the
// pump, asks what the contactor did, and writes a record.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::command {

struct ProveRequest {
  std::filesystem::path configuration;
  std::filesystem::path socket;
  std::string version;
  std::string pump;
  std::string record;    ///< a new file; empty: named by pump and date, in the current folder
  bool blocked = false;  ///< the pump is left off all the while
  bool json = false;
};

/// Answers about the contactor are read from `in`, a line each (y, n or ?). Exit code: 0 all passed, 1
/// something failed or was not tried, 2 usage, 3 no daemon, 4 refused.
int prove(const ProveRequest& request, std::istream& in, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
