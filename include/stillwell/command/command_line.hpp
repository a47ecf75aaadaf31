#pragma once
// The whole command line as one table: the commands, their options, examples and exit codes. The program
// parses with it; the manual page and the completion of the shell are made from it.

#include "stillwell/command/options.hpp"

#include <span>
#include <string_view>

namespace stillwell::command {

/// Fills an empty app with every command. What is chosen lands in the line, which must outlive the app.
void describe(CLI::App& app, Line& line);

struct ExitCode {
  int code = 0;
  std::string_view means;
};

/// What any command ends with.
std::span<const ExitCode> exit_codes();

}  // namespace stillwell::command
