// Help that teaches, and mistakes that are told: the real program.
#include <algorithm>

#include "support/catch.hpp"
#include "support/help_reader.hpp"
#include "support/stillwell_run.hpp"

TEST_CASE("help: every command ends with an example and with what to do next", "[e2e][help]") {
  for (const std::string& command : support::commands_in_help()) {
    const auto help = support::help_of(command);
    INFO(help.text);
    const std::size_t example = help.text.find("\nExample");
    REQUIRE(example != std::string::npos);
    CHECK(help.text.find("\n  stillwell " + command, example) != std::string::npos);
    CHECK(help.text.find("\nNext: ", example) != std::string::npos);
    CHECK(help.options.contains("--help"));
  }
}

TEST_CASE("help: the program's own names the exit codes and where to read on", "[e2e][help]") {
  const auto help = support::stillwell({"--help"});
  CHECK(help.exit_code == 0);
  CHECK(help.err.empty());
  CHECK(help.out.find("  4  refused\n") != std::string::npos);
  CHECK(help.out.find("`stillwell COMMAND --help`") != std::string::npos);
}

TEST_CASE("mistakes: one goes to stderr with what was meant, and exits 2", "[e2e][help]") {
  const auto command = support::stillwell({"chekc"});
  CHECK(command.exit_code == 2);
  CHECK(command.out.empty());
  CHECK(command.err ==
        "stillwell: there is no command 'chekc'; did you mean 'check'? `stillwell --help` shows the "
        "commands\n");
  const auto option = support::stillwell({"status", "--wacht"});
  CHECK(option.exit_code == 2);
  CHECK(option.out.empty());
  CHECK(option.err.find("did you mean '--watch'?") != std::string::npos);
  const auto nothing = support::stillwell({});
  CHECK(nothing.exit_code == 2);
  CHECK(nothing.err == "stillwell: no command is given; `stillwell --help` shows the commands\n");
}

TEST_CASE("names: what the configuration names is printed, one a line or as JSON", "[e2e][names]") {
  const std::string orchard = support::source_dir() + "/config/orchard.yaml";
  const auto tanks = support::stillwell({"names", "tank", "--config", orchard});
  CHECK(tanks.exit_code == 0);
  CHECK(tanks.err.empty());
  CHECK(std::count(tanks.out.begin(), tanks.out.end(), '\n') == 4);
  CHECK(tanks.out.find("header\n") != std::string::npos);
  const auto both = support::stillwell({"names", "pump", "alarm", "--json", "--config", orchard});
  CHECK(both.out.find("\"pump\": [") != std::string::npos);
  CHECK(both.out.find("\"header/low\"") != std::string::npos);
  const auto broken = support::stillwell({"names", "tank", "--config", "/nowhere/site.yaml"});
  CHECK(broken.exit_code == 2);
  CHECK(broken.out.empty());
  CHECK(broken.err.find("there is no such file") != std::string::npos);
}
