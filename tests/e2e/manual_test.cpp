// The manual pages, as they are built and as a reader sees them.
#include "stillwell/config/grammar.hpp"

#include <filesystem>
#include <map>
#include <regex>
#include <set>

#include "support/catch.hpp"
#include "support/help_reader.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include "support/stillwell_run.hpp"

namespace {

std::string paper(const std::string& name) {
  return support::binary_dir() + "/papers/" + name;
}

/// As a terminal shows it; what is struck over to be bold or underlined counts once.
std::string shown(const std::string& name) {
  const auto page = support::ended({"mandoc", "-T", "ascii", "-O", "width=200", paper(name)});
  REQUIRE(page.exit_code == 0);
  std::string text;
  for (std::size_t at = 0; at < page.out.size(); ++at) {
    if (page.out[at] == '\b') {
      if (!text.empty()) text.pop_back();
    } else {
      text += page.out[at];
    }
  }
  return text;
}

/// The lines of a page from a heading to the next of the same rank.
std::vector<std::string> below(const std::vector<std::string>& lines, const std::string& heading) {
  const std::size_t indent = heading.find_first_not_of(' ');
  std::vector<std::string> found;
  bool is_below = false;
  for (const std::string& line : lines) {
    if (is_below && !line.empty() && line.find_first_not_of(' ') <= indent) break;
    if (is_below) found.push_back(line);
    if (line == heading) is_below = true;
  }
  return found;
}

std::string joined(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines)
    text += " " + line;
  return std::regex_replace(text, std::regex{" +"}, " ");
}

/// The commands of a page: the headings of the second rank below COMMANDS.
std::set<std::string> commands_of(const std::vector<std::string>& page) {
  std::set<std::string> commands;
  for (const std::string& line : below(page, "COMMANDS"))
    if (line.size() > 3 && line.substr(0, 3) == "   " && line[3] != ' ') commands.insert(line.substr(3));
  return commands;
}

/// What is explained of a command: the entries of its list.
std::set<std::string> entries(const std::vector<std::string>& section) {
  static const std::regex entry{R"(^     (--[a-z-]+|[A-Z|]+)( .*)?$)"};
  std::set<std::string> found;
  for (const std::string& line : section) {
    std::smatch match;
    if (std::regex_match(line, match, entry)) found.insert(match[1]);
  }
  return found;
}

void gather(const stillwell::config::Section& section, std::set<std::string>& keys,
            std::set<const void*>& seen) {
  if (!seen.insert(&section).second) return;
  for (const auto& key : section.keys) {
    keys.insert(std::string{key.name});
    if (key.section != nullptr) gather(*key.section, keys, seen);
  }
  for (const auto& rule : section.when)
    if (rule.adds != nullptr) gather(*rule.adds, keys, seen);
}

}  // namespace

TEST_CASE("manual: two readers of the language of manual pages find no fault in either", "[e2e][manual]") {
  for (const std::string page : {"stillwell.1", "stillwell.yaml.5"}) {
    const auto lint = support::ended({"mandoc", "-T", "lint", "-W", "warning", paper(page)});
    INFO(lint.out << lint.err);
    CHECK(lint.exit_code == 0);
    CHECK(lint.out.empty());
    const auto groff = support::ended({"groff", "-ww", "-K", "utf8", "-mandoc", "-T", "utf8", paper(page)});
    INFO(groff.err);
    CHECK(groff.exit_code == 0);
    CHECK(groff.err.empty());
    CHECK(groff.out.size() > 5000);
  }
}

TEST_CASE("manual: stillwell(1) has every command and option that --help shows, and no other",
          "[e2e][manual]") {
  const auto page = support::lines_of_text(shown("stillwell.1"));
  const auto commands = support::commands_in_help();
  CHECK(commands_of(page) == std::set<std::string>(commands.begin(), commands.end()));
  for (const std::string& command : commands) {
    const auto section = below(page, "   " + command);
    const auto help = support::help_of(command);
    std::set<std::string> expected{help.words.begin(), help.words.end()};
    expected.insert(help.options.begin(), help.options.end());
    expected.erase("--help");  // told once for all
    INFO(command << joined(section));
    CHECK(entries(section) == expected);
    CHECK(joined(section).find("stillwell " + command) != std::string::npos);
    CHECK(joined(section).find("For example:") != std::string::npos);
  }
}

TEST_CASE("manual: stillwell(1) has the cautions, the exit codes, the signals, the files and the environment",
          "[e2e][manual]") {
  const auto page = support::lines_of_text(shown("stillwell.1"));
  const std::string cautions = joined(below(page, "CAUTIONS"));
  INFO(cautions);
  for (const char* words :
       {"not a certified safety device", "Independent, hard-wired high-level and dry-run cutoffs",
        "Pumps start by themselves and without warning", "Isolate and lock out the supply",
        "licensed electrician", "local codes decide", "confined spaces",
        "Not for fire-fighting water, fuel or hazardous liquids"})
    CHECK(cautions.find(words) != std::string::npos);
  CHECK(entries(below(page, "EXIT STATUS")).empty());
  CHECK(joined(below(page, "EXIT STATUS")).find("4 refused") != std::string::npos);
  CHECK(joined(below(page, "SIGNALS")).find("SIGTERM") != std::string::npos);
  CHECK(joined(below(page, "ENVIRONMENT")).find("STATE_DIRECTORY") != std::string::npos);
  CHECK(joined(below(page, "FILES")).find("/etc/stillwell/stillwell.yaml") != std::string::npos);
}

TEST_CASE("manual: stillwell.yaml(5) explains every key of the grammar", "[e2e][manual]") {
  std::set<std::string> keys;
  std::set<const void*> seen;
  gather(stillwell::config::grammar(), keys, seen);
  REQUIRE(keys.size() > 100);
  std::set<std::string> told;
  for (const std::string& line : support::lines_of_text(shown("stillwell.yaml.5"))) {
    const std::size_t from = line.find_first_not_of(' ');
    if (from != std::string::npos) told.insert(line.substr(from, line.find(' ', from) - from));
  }
  for (const std::string& key : keys) {
    INFO(key);
    CHECK(told.contains(key));
  }
}

TEST_CASE("manual: what is installed is the program, its pages, the completion and the examples",
          "[e2e][manual]") {
  const support::TemporaryDirectory directory;
  const auto install =
      support::ended({"cmake", "--install", support::binary_dir(), "--prefix", directory.path()});
  INFO(install.err);
  REQUIRE(install.exit_code == 0);
  for (const char* file :
       {"/bin/stillwell", "/share/man/man1/stillwell.1", "/share/man/man5/stillwell.yaml.5",
        "/share/bash-completion/completions/stillwell", "/share/doc/stillwell/examples/orchard.yaml"}) {
    INFO(file);
    CHECK(std::filesystem::is_regular_file(directory.path() + file));
  }
  CHECK(support::ended({directory.path() + "/bin/stillwell", "--version"}).exit_code == 0);
}
