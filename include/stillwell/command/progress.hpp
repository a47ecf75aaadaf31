#pragma once
// How far a command has come and how long it will still take, on a terminal.

#include <chrono>
#include <ostream>
#include <string>

namespace stillwell::command {

class Progress {
 public:
  /// Tells nobody when `out` is nullptr.
  Progress(std::string verb, std::ostream* out) : verb_{std::move(verb)}, out_{out} {}
  /// `share`: 0 to 1. Cheap to call often.
  void show(double share);
  /// Before something else is printed.
  void clear();

 private:
  using Clock = std::chrono::steady_clock;

  std::string verb_;
  std::ostream* out_;
  Clock::time_point begun_ = Clock::now();
  Clock::time_point due_ = begun_ + std::chrono::milliseconds{500};
  unsigned calls_ = 0;
  bool shown_ = false;
};

}  // namespace stillwell::command
