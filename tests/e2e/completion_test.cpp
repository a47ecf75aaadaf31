// The completion of bash, driven as bash drives it: the words so far, and what it offers for the last one.
#include <algorithm>
#include <set>

#include "support/catch.hpp"
#include "support/help_reader.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include "support/stillwell_run.hpp"

namespace {

using Words = std::vector<std::string>;

constexpr const char* kDrive = R"bash(
source "$1" || exit
shift
COMP_WORDS=("$@")
COMP_CWORD=$(($# - 1))
[ "$(complete -p stillwell)" = "complete -F _stillwell stillwell" ] || exit
_stillwell "$1" "${@: -1}" "${@: -2:1}"
printf '%s\n' "${COMPREPLY[@]}"
)bash";

/// What is offered for the last word, in the order of the shell.
Words offered(const Words& words, const Words& environment = {}) {
  Words argv{"bash",
             "--norc",
             "-c",
             kDrive,
             "bash",
             support::binary_dir() + "/papers/stillwell",
             support::binary_dir() + "/stillwell"};
  argv.insert(argv.end(), words.begin(), words.end());
  const auto bash = support::ended(argv, environment);
  INFO(bash.err);
  CHECK(bash.exit_code == 0);
  CHECK(bash.err.empty());
  Words lines = support::lines_of_text(bash.out);
  lines.erase(std::remove(lines.begin(), lines.end(), ""), lines.end());
  return lines;
}

std::set<std::string> set_of(const Words& words) {
  return {words.begin(), words.end()};
}

std::string orchard() {
  return support::source_dir() + "/config/orchard.yaml";
}

/// Of a command that reads a configuration.
Words at_the_orchard(const std::string& command, const std::string& begun) {
  return offered({command, "--config", orchard(), begun});
}

}  // namespace

TEST_CASE("completion: every command is offered, and of each every option and no other",
          "[e2e][completion]") {
  const auto commands = support::commands_in_help();
  CHECK(offered({""}) == commands);
  for (const std::string& command : commands) {
    INFO(command);
    CHECK(set_of(offered({command, "--"})) == support::help_of(command).options);
  }
  CHECK(set_of(offered({"--"})) == std::set<std::string>{"--help", "--version"});
}

TEST_CASE("completion: what was begun is completed", "[e2e][completion]") {
  CHECK(offered({"ch"}) == Words{"check", "chart"});
  CHECK(offered({"check", "--c"}) == Words{"--config"});
  CHECK(offered({"chekc"}).empty());
}

TEST_CASE("completion: names come from the configuration that is named", "[e2e][completion]") {
  CHECK(at_the_orchard("chart", "") == Words{"header", "cistern", "bore-well", "sump"});
  CHECK(at_the_orchard("chart", "he") == Words{"header"});
  CHECK(at_the_orchard("prove", "") == Words{"lift", "bore", "drain"});
  // With = bash makes three words of one.
  CHECK(offered({"chart", "--config", "=", orchard(), "si"}).empty());
  CHECK(offered({"chart", "--config", "=", orchard(), "su"}) == Words{"sump"});
  CHECK(offered({"chart", "--config", "/nowhere/site.yaml", ""}).empty());
}

TEST_CASE("completion: words that an option or a place may have are offered", "[e2e][completion]") {
  CHECK(offered({"mode", "lift", ""}) == Words{"auto", "hand", "off"});
  CHECK(offered({"mode", "lift", "o"}) == Words{"off"});
  CHECK(offered({"service", "header", ""}) == Words{"in", "out"});
  CHECK(offered({"names", "tank", "pu"}) == Words{"pump"});           // one of several
  CHECK(offered({"names", "tank", "pump", "al"}) == Words{"alarm"});  // and the next
}

TEST_CASE("completion: files are offered where a file is asked for, whatever they are called",
          "[e2e][completion]") {
  const support::TemporaryDirectory directory;
  const std::string trap = directory.file("site $(echo trapped).yaml");
  support::write_file(trap, "");
  support::write_file(directory.file("other"), "");
  CHECK(offered({"check", "--config", directory.file("si")}) == Words{trap});
  CHECK(offered({"check", "--config", "=", directory.file("si")}) == Words{trap});
  CHECK(offered({"shelve", "header/low", "--because", directory.file("")}).empty());
  CHECK(offered({"run", "--state", directory.path().substr(0, directory.path().size() - 1)}).size() >= 1);
  CHECK(offered({"run", "--state", directory.file("o")}).empty());  // a file is no folder
}
