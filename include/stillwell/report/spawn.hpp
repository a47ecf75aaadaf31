#pragma once
// Starts a program with a clean slate: nothing of the daemon is passed on but two pipes.

#include "stillwell/report/stream.hpp"

#include <optional>
#include <string>
#include <system_error>
#include <vector>

namespace stillwell::report {

/// Leader of a session and of a process group of its own, which have its id.
struct Child {
  int pid = -1;
  Descriptor handle;  ///< a pidfd, readable once it has ended; then it must be waited for
  Descriptor in;      ///< its standard input; does not block
  Descriptor out;     ///< its standard output and error; does not block
};

struct Spawned {
  std::optional<Child> child;
  std::error_code error;  ///< why there is none
};

/// argv[0] is a path. The program has no descriptor but 0 to 2, no signal blocked or ignored, the working
/// directory `/`, and of the environment PATH, HOME, LANG and TZ. When memory runs short it goes first.
Spawned spawn(const std::vector<std::string>& argv);

}  // namespace stillwell::report
