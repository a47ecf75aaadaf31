#pragma once
// A child program for tests: started with pipes, listened to without ever blocking it, waited for with a
// bound, and ended by its own pid. Nothing outlives the object.

#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <sys/types.h>

namespace support {

using Bound = std::chrono::milliseconds;

/// Long enough for a machine that also compiles; a test that passes never waits for it.
inline constexpr Bound kPatience{20'000};

class Process {
 public:
  /// argv[0] is looked up in PATH. `environment` entries ("NAME=value") are added to the inherited ones.
  /// Throws std::runtime_error when the program cannot be started.
  explicit Process(const std::vector<std::string>& argv, const std::vector<std::string>& environment = {});
  ~Process();  ///< SIGKILL when it is still alive, and reaped
  Process(const Process&) = delete;
  Process& operator=(const Process&) = delete;

  [[nodiscard]] pid_t pid() const;
  [[nodiscard]] bool alive();

  /// To its standard input. False when it no longer reads.
  bool write(std::string_view text);
  void close_input();
  void signal(int number);

  /// The first line on stdout or stderr that contains the text, among those already seen and those to come;
  /// empty when the bound passed or the program ended without one.
  std::optional<std::string> wait_line(std::string_view containing, Bound bound = kPatience);
  /// The exit status, or 128 + signal; empty when it is still running after the bound.
  std::optional<int> wait_exit(Bound bound = kPatience);

  /// Everything so far.
  [[nodiscard]] std::string out() const;
  [[nodiscard]] std::string err() const;

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

/// Looks at a condition every few milliseconds until it holds (true) or the bound passed (false).
template <class Condition>
bool eventually(Condition&& condition, Bound bound = kPatience);

/// A TCP port of 127.0.0.1 that nobody listens on just now.
int free_port();

/// A directory of its own, removed with everything in it.
class TemporaryDirectory {
 public:
  TemporaryDirectory();
  ~TemporaryDirectory();
  TemporaryDirectory(const TemporaryDirectory&) = delete;
  TemporaryDirectory& operator=(const TemporaryDirectory&) = delete;

  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] std::string file(std::string_view name) const { return path_ + "/" + std::string{name}; }

 private:
  std::string path_;
};

std::string read_file(const std::string& path);  ///< empty when there is none
void write_file(const std::string& path, std::string_view text);

// ---------------------------------------------------------------------------------------------------------

void rest_a_moment();  ///< between two looks of eventually()

template <class Condition>
bool eventually(Condition&& condition, Bound bound) {
  const auto give_up = std::chrono::steady_clock::now() + bound;
  while (!condition()) {
    if (std::chrono::steady_clock::now() >= give_up) return false;
    rest_a_moment();
  }
  return true;
}

}  // namespace support
