// stillwell: one program, one file a subcommand. This one only reads the command line.

#include "stillwell/command/options.hpp"
#include "stillwell/service/exit_codes.hpp"

#include <iostream>
#include <string>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

int main_of(int count, char** words) {
  CLI::App app{"stillwell, the gateway for stored water", "stillwell"};
  app.set_version_flag("--version", std::string{STILLWELL_VERSION});
  app.require_subcommand(1);
  app.footer(
      "Exit codes: 0 done; 1 done, and something needs attention; 2 usage or configuration error;\n"
      "3 the field or the daemon could not be reached; 4 refused.");
  Line line;
  add_service_commands(app, line);
  add_paper_commands(app, line);
  add_watch_commands(app, line);
  add_commission_commands(app, line);
  add_requests(app, line);
  try {
    app.parse(count, words);
  } catch (const CLI::ParseError& error) {
    const bool asked_for = error.get_exit_code() == 0;  // --help, --version
    app.exit(error, std::cout, std::cerr);
    return asked_for ? service::kDone : service::kUsage;
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
