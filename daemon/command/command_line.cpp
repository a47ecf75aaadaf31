#include "stillwell/command/command_line.hpp"

#include "stillwell/command/examples.hpp"
#include "stillwell/service/exit_codes.hpp"

#include <array>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

constexpr std::array kExitCodes{
    ExitCode{service::kDone, "done"},
    ExitCode{service::kAttention, "done, and something needs attention"},
    ExitCode{service::kUsage, "usage or configuration error"},
    ExitCode{service::kUnreachable, "the field or the daemon could not be reached"},
    ExitCode{service::kRefused, "refused"},
};

std::string exit_code_text() {
  std::string text = "Exit codes:";
  for (const ExitCode& row : kExitCodes)
    text += "\n  " + std::to_string(row.code) + "  " + std::string{row.means};
  return text;
}

/// That a word is a text needs no telling; what it names does, and its own name says that.
void hide_needless_types(CLI::App& command) {
  for (CLI::Option* option : command.get_options())
    if (option->get_positional() && option->get_type_name() == "TEXT") option->type_name("");
}

}  // namespace

std::span<const ExitCode> exit_codes() {
  return kExitCodes;
}

void describe(CLI::App& app, Line& line) {
  app.description("stillwell, the gateway for stored water");
  app.name("stillwell");
  app.get_help_ptr()->description("Print this help and exit");
  app.set_version_flag("--version", std::string{STILLWELL_VERSION}, "Print the version and exit");
  app.require_subcommand(1);
  app.footer(
      exit_code_text() +
      "\n\nNext: `stillwell COMMAND --help` shows what a command takes, with examples; `man stillwell` has\n"
      "all of them, and the cautions to read before anything is wired.");
  add_service_commands(app, line);
  add_paper_commands(app, line);
  add_rehearse_command(app, line);
  add_watch_commands(app, line);
  add_commission_commands(app, line);
  add_requests(app, line);
  for (CLI::App* command : app.get_subcommands({})) {
    hide_needless_types(*command);
    command->footer(lesson_text(command->get_name()));
  }
}

}  // namespace stillwell::command
