#include "stillwell/command/progress.hpp"

#include <ostream>

#include <unistd.h>

namespace stillwell::command {
namespace {

constexpr std::string_view kWriteOver = "\r\x1b[K";  // ECMA-48: back to the first column, the rest erased
constexpr std::size_t kWidest = 79;

}  // namespace

bool stderr_is_terminal() {
  return ::isatty(STDERR_FILENO) == 1;
}

Progress::~Progress() {
  if (!shown_) return;
  try {
    err_ << kWriteOver << std::flush;
  } catch (...) {  // NOLINT(bugprone-empty-catch): the terminal has gone
  }
}

void Progress::show(std::string_view text) {
  if (!is_terminal_) return;
  err_ << kWriteOver << text.substr(0, kWidest) << std::flush;
  shown_ = true;
}

}  // namespace stillwell::command
