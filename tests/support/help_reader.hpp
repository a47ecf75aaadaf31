#pragma once
// What --help of the real program says, read as a person reads it: independent of how the program holds its
// options.

#include <regex>
#include <set>
#include <string>
#include <vector>

#include "support/stillwell_run.hpp"

namespace support {

/// The first words of the lines below a heading, up to the next empty line.
inline std::vector<std::string> listed_below(const std::string& help, const std::string& heading) {
  std::vector<std::string> words;
  bool is_below = false;
  static const std::regex entry{R"(^  (-h,)?([^ ]+).*)"};
  for (const std::string& line : lines_of_text(help)) {
    std::smatch match;
    if (line == heading) is_below = true;
    if (line.empty()) is_below = false;
    if (is_below && std::regex_match(line, match, entry)) words.push_back(match[2]);
  }
  return words;
}

inline std::vector<std::string> commands_in_help() {
  const Ended help = stillwell({"--help"});
  REQUIRE(help.exit_code == 0);
  auto commands = listed_below(help.out, "Subcommands:");
  REQUIRE(commands.size() > 15);
  return commands;
}

struct HelpOfCommand {
  std::vector<std::string> words;  ///< TANK, MODE
  std::set<std::string> options;   ///< --config
  std::string text;
};

inline HelpOfCommand help_of(const std::string& command) {
  const Ended help = stillwell({command, "--help"});
  REQUIRE(help.exit_code == 0);
  const auto options = listed_below(help.out, "Options:");
  return {listed_below(help.out, "Positionals:"), {options.begin(), options.end()}, help.out};
}

}  // namespace support
