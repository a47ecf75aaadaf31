// A command line with a mistake is told in one line, with what was meant and where to read on.
#include "stillwell/command/mistakes.hpp"

#include "stillwell/command/command_line.hpp"

#include <string>

#include "support/catch.hpp"
#include <CLI/CLI.hpp>

using namespace stillwell::command;

namespace {

std::string told(const std::string& typed) {
  CLI::App app;
  Line line;
  describe(app, line);
  try {
    app.parse(typed, true);
  } catch (const CLI::ParseError& error) {
    CHECK(error.get_exit_code() != 0);
    return mistake(app, error);
  }
  return "nothing wrong";
}

}  // namespace

TEST_CASE("mistakes: a mistyped word is told with the one that was meant", "[command][mistakes]") {
  const std::vector<std::pair<const char*, const char*>> cases{
      {"stillwell chekc",
       "there is no command 'chekc'; did you mean 'check'? `stillwell --help` shows the commands"},
      {"stillwell --versoin", "'--versoin' is no option without a command; did you mean '--version'? "},
      {"stillwell check --confg x.yaml", "'--confg' is no option of check; did you mean '--config'? "},
      {"stillwell check --confg=x.yaml", "'--confg' is no option of check; did you mean '--config'? "},
      {"stillwell mode lift of",
       "'of' is no MODE; did you mean 'off'? `stillwell mode --help` shows how it is typed"},
      {"stillwell service header int", "'int' is no STATE; did you mean 'in'? "},
      {"stillwell names tanks", "'tanks' is no KIND; did you mean 'tank'? "},
      // Both are wrong; the slip of the pen explains the other.
      {"stillwell shelve header/low --fro 2h --because x",
       "'--fro' is no option of shelve; did you mean '--for'? "},
  };
  for (const auto& [typed, says] : cases) {
    INFO(typed << ": " << told(typed));
    CHECK(told(typed).starts_with("stillwell: " + std::string{says}));
  }
}

TEST_CASE("mistakes: what is missing, too much or contradicts is told with where to read on",
          "[command][mistakes]") {
  const std::vector<std::pair<const char*, const char*>> cases{
      {"stillwell", "no command is given; `stillwell --help` shows the commands"},
      {"stillwell frobnicate", "there is no command 'frobnicate'; expected one of: run, release, "},
      {"stillwell check --zzz", "'--zzz' is no option of check; expected one of: --help, --config, --json; "},
      {"stillwell chart",
       "chart: TANK is required; `stillwell chart --help` shows how it is typed, with examples"},
      {"stillwell shelve header/low --for 2h", "shelve: --because is required; "},
      {"stillwell check now", "'now' is one word too many for check; "},
      {"stillwell --config x.yaml check",
       "'--config' belongs behind the command: `stillwell check --config …`; "},
      {"stillwell chart header --csv --json", "chart: --csv excludes --json; "},
      {"stillwell check --config", "check: --config"},
  };
  for (const auto& [typed, says] : cases) {
    INFO(typed << ": " << told(typed));
    CHECK(told(typed).starts_with("stillwell: " + std::string{says}));
    CHECK(told(typed).find('\n') == std::string::npos);
  }
}
