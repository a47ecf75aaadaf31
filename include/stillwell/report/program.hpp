#pragma once
// Runs one program to its end, whatever it does: it may hang, flood, ignore its input, ignore SIGTERM, or
// leave others behind that hold its pipes. Every wait has an end in time.

#include "stillwell/quantity/time.hpp"
#include "stillwell/report/spawn.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

struct ProgramEnd {
  bool well = false;       ///< ended by itself, with status 0
  std::string how;         ///< "exit status 3", "it took longer than 30 s and was ended"
  std::string last_words;  ///< the end of what it wrote to standard output and error, at most 1 kB
};

class Program {
 public:
  /// Throws std::system_error when the kernel has no descriptor left.
  Program(std::vector<std::string> argv, Duration within);

  /// Gives it the input and waits for its end. After `within` its process group gets SIGTERM, five seconds
  /// later SIGKILL; what outlives its leader is killed. Used by one thread, in which SIGPIPE is blocked or
  /// ignored.
  ProgramEnd run(std::string_view input);

  /// From any thread: what runs now, or is run later, has a second left and is ended within two.
  void stop();

 private:
  const std::vector<std::string> argv_;
  const Duration within_;
  const Descriptor stop_;       ///< an eventfd
  std::optional<Child> stuck_;  ///< SIGKILL did not end it: it hangs in the kernel, as on a dead disk
};

}  // namespace stillwell::report
