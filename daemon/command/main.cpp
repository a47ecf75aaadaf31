// stillwell: one program, one file a subcommand. This one only reads the command line.

#include "stillwell/command/command_line.hpp"
#include "stillwell/command/mistakes.hpp"
#include "stillwell/service/exit_codes.hpp"

#include <iostream>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

int main_of(int count, char** words) {
  CLI::App app;
  Line line;
  describe(app, line);
  try {
    app.parse(count, words);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) {  // --help, --version
      app.exit(error, std::cout, std::cerr);
      return service::kDone;
    }
    std::cerr << mistake(app, error) << '\n';
    return service::kUsage;
  }
  return line.chosen();
}

}  // namespace
}  // namespace stillwell::command

int main(int count, char** words) {
  try {
    return stillwell::command::main_of(count, words);
  } catch (const std::exception& fault) {
    std::cerr << "stillwell: " << fault.what() << '\n';
    return stillwell::service::kUnreachable;
  }
}
