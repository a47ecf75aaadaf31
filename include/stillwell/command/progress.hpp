#pragma once
// How far a command is, on one line of a terminal that is written over. Nothing where there is none: a log or
// a pipe wants results.

#include <iosfwd>
#include <string_view>

namespace stillwell::command {

/// Whether the standard error is a terminal.
bool stderr_is_terminal();

class Progress {
 public:
  Progress(std::ostream& err, bool is_terminal) : err_{err}, is_terminal_{is_terminal} {}
  ~Progress();  ///< takes the line away
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  /// At most 79 cells are shown.
  void show(std::string_view text);

 private:
  std::ostream& err_;
  bool is_terminal_;
  bool shown_ = false;
};

}  // namespace stillwell::command
