#pragma once
// `stillwell status`: what the running daemon sees, once or again and again.

#include <cstddef>
#include <filesystem>
#include <iosfwd>

namespace stillwell::command {

/// What can be shown where the output goes.
struct Terminal {
  bool interactive = false;  ///< a terminal: a watched picture is drawn in place
  bool colour = false;
  bool unicode = false;
};

/// Of the standard output: whether it is a terminal, NO_COLOR and TERM, and whether the locale in the
/// environment is a UTF-8 one.
Terminal terminal_of_stdout();

struct StatusOptions {
  std::filesystem::path socket;
  bool json = false;   ///< the snapshot as one line of JSON instead of a picture
  bool watch = false;  ///< once a second, until SIGINT or SIGTERM
  Terminal terminal = terminal_of_stdout();
};

/// Exit code: 0 done, 1 the answer was not understood, 3 no daemon.
int status(const StatusOptions& options, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
