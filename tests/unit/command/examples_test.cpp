// The examples that the help of each command ends with: they are there, and they can be typed.
#include "stillwell/command/examples.hpp"

#include "stillwell/command/command_line.hpp"
#include "stillwell/command/names.hpp"

#include <algorithm>
#include <set>
#include <sstream>

#include "support/catch.hpp"
#include "support/places.hpp"
#include <CLI/CLI.hpp>

using namespace stillwell::command;

namespace {

/// What a person types before the shell's own part of the line.
std::string typed(const Example& example) {
  const std::string line{example.typed};
  return line.substr(0, line.find(" > "));
}

/// The kinds of names that a word of a command may be: "PUMP|ALARM" → pump, alarm; none when it is no name.
std::vector<std::string> kinds_of(const CLI::Option& option) {
  std::vector<std::string> kinds = CLI::detail::split(CLI::detail::to_lower(option.get_name(true)), '|');
  const auto known = name_kinds();
  for (const std::string& kind : kinds)
    if (std::find(known.begin(), known.end(), kind) == known.end()) return {};
  return kinds;
}

std::set<std::string> names_at_the_orchard(const std::vector<std::string>& kinds) {
  std::ostringstream out;
  std::ostringstream err;
  REQUIRE(names({.configuration = support::source_dir() + "/config/orchard.yaml", .kinds = kinds}, out,
                err) == 0);
  std::istringstream lines{out.str()};
  std::set<std::string> all;
  for (std::string name; std::getline(lines, name);)
    all.insert(name);
  return all;
}

}  // namespace

TEST_CASE("examples: every command has one or two, and says what comes next", "[command][help]") {
  CLI::App app;
  Line line;
  describe(app, line);
  std::set<std::string> commands;
  for (const CLI::App* command : app.get_subcommands({})) {
    INFO("a row for " << command->get_name() << " in daemon/command/examples.cpp");
    commands.insert(command->get_name());
    CHECK_FALSE(lesson_text(command->get_name()).empty());
    CHECK(command->get_footer() == lesson_text(command->get_name()));
  }
  CHECK(commands.size() > 15);
  for (const Lesson& lesson : lessons()) {
    INFO(lesson.command);
    CHECK(commands.erase(std::string{lesson.command}) == 1);
    CHECK(lesson.examples.size() >= 1);
    CHECK(lesson.examples.size() <= 2);
    CHECK(lesson.next.size() > 10);
  }
}

TEST_CASE("examples: every one can be typed as it stands, and names what the orchard has",
          "[command][help]") {
  int with_a_name = 0;
  for (const Lesson& lesson : lessons()) {
    for (const Example& example : lesson.examples) {
      INFO(example.typed);
      CLI::App app;
      Line line;
      describe(app, line);
      REQUIRE_NOTHROW(app.parse(typed(example), true));
      REQUIRE(app.get_subcommands().size() == 1);
      const CLI::App& command = *app.get_subcommands().front();
      CHECK(command.get_name() == lesson.command);
      for (const CLI::Option* option : command.get_options()) {
        if (!option->get_positional() || kinds_of(*option).empty()) continue;
        const auto known = names_at_the_orchard(kinds_of(*option));
        for (const std::string& given : option->results()) {
          INFO(given);
          CHECK((given == "all" || given.starts_with("/dev/") || known.contains(given)));
          ++with_a_name;
        }
      }
    }
  }
  CHECK(with_a_name > 8);
}
