#pragma once
// Commands to the running daemon: acknowledge, reset, mode. One request over the local socket, one answer.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::command {

struct Request {
  std::filesystem::path socket;
  std::string verb;      ///< acknowledge | reset | mode
  std::string target;    ///< an alarm ("header/low", or "all") or a pump
  std::string argument;  ///< mode: auto | off
  bool json = false;
};

/// Prints what came of it. Exit code: 0 done, 3 no daemon, 4 refused.
int ask(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
