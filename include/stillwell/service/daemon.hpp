#pragma once
// The daemon: builds the rooms, connects them, and waits for the end.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::service {

struct DaemonOptions {
  std::filesystem::path configuration;
  std::filesystem::path state_directory;
  std::filesystem::path socket;
  std::string version;   ///< of the program, as status and broker show it
  bool observe = false;  ///< every contact held off; the journal goes to `observed` in the state directory
};

/// Runs until SIGTERM or SIGINT. Exit code: 0 stopped in order, 2 configuration, 3 field or state unusable,
/// 1 the daemon failed or a contact could not be confirmed off.
int run(const DaemonOptions& options, std::ostream& err);

}  // namespace stillwell::service
