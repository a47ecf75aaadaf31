#pragma once
// Commands to the running daemon: acknowledge, shelve, reset, mode and the like. One request over the local
// socket, one answer.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::command {

struct Request {
  std::filesystem::path socket;
  std::string verb;      ///< acknowledge | shelve | unshelve | reset | mode | accept | service
  std::string target;    ///< an alarm ("header/low", or "all"), a pump or a tank
  std::string argument;  ///< mode: auto | off. service: in | out
  std::string lasts;     ///< shelve: "2 h"
  std::string because;   ///< shelve: the reason
  bool json = false;
};

/// Prints what came of it. Exit code: 0 done, 3 no daemon, 4 refused.
int ask(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
