// The shape of the house: what stands at the top, how long a file may be, and that no test is left out.

#include <array>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <set>
#include <string>

#include "support/bench_tree.hpp"
#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"

namespace {

const std::set<std::string> kTop{"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "daemon",
                                 "include",        "config",    "systemd",       "tests"};
const std::set<std::string> kDotfiles{".ci", ".clang-format", ".clang-tidy", ".editorconfig", ".gitignore"};

/// What the repository keeps at its top. In an unpacked archive, where nothing is untracked, what stands
/// there.
std::set<std::string> top_level() {
  const auto& root = support::source_root();
  std::set<std::string> names;
  if (!std::filesystem::exists(root / ".git")) {
    for (const auto& entry : std::filesystem::directory_iterator{root})
      names.insert(entry.path().filename().string());
    return names;
  }
  support::Process git{
      {"git", "-c", "safe.directory=*", "-C", root.string(), "ls-tree", "--name-only", "HEAD"}};
  REQUIRE(git.wait_exit() == 0);
  std::string name;
  for (const char letter : git.out()) {
    if (letter != '\n') name += letter;
    if (letter == '\n') names.insert(std::exchange(name, ""));
  }
  return names;
}

std::string text_of(const std::filesystem::path& file) {
  std::string text;
  for (const std::string& line : support::lines_of(file))
    text += line + '\n';
  return text;
}

}  // namespace

TEST_CASE("house: nothing stands at the top that does not belong there", "[arch][tree]") {
  const auto names = top_level();
  CHECK(names.contains("daemon"));  // the list was read at all
  for (const std::string& name : names) {
    INFO(name);
    CHECK((kTop.contains(name) || kDotfiles.contains(name)));
  }
}

TEST_CASE("house: no file is longer than 400 lines", "[arch][tree]") {
  for (const std::string folder : {"include", "daemon"}) {
    for (const auto& file : support::cpp_files(folder)) {
      INFO(file.string());
      CHECK(support::lines_of(support::source_root() / file).size() <= 400);
    }
  }
}

TEST_CASE("house: every test file is in the build", "[arch][tree]") {
  const std::filesystem::path build{support::binary_dir()};
  std::string database = text_of(build / "compile_commands.json");
  // By itself, or as one of several (tests/join.cmake).
  if (std::filesystem::exists(build / "tests" / "joined"))
    for (const auto& joined : std::filesystem::directory_iterator{build / "tests" / "joined"})
      if (database.find(joined.path().string() + "\"") != std::string::npos) database += text_of(joined);
  int count = 0;
  for (const auto& file : support::cpp_files("tests")) {
    if (!file.filename().string().ends_with("_test.cpp")) continue;
    INFO(file.string());
    CHECK(database.find((support::source_root() / file).string() + "\"") != std::string::npos);
    ++count;
  }
  CHECK(count > 10);
}

TEST_CASE("house: every header of include/ is compiled by itself", "[arch][headers]") {
  // That it compiles is proved by the build: as the first line of its own source, or by a tiny one
  // (tests/arch/header_selfcheck.cmake). Here, that none was left out.
  const auto folder = std::filesystem::path{support::binary_dir()} / "tests" / "header_selfcheck";
  int with_source = 0;
  int alone = 0;
  for (const auto& file : support::cpp_files("include")) {
    INFO(file.string());
    const auto path = std::filesystem::relative(file, "include");
    const auto source = std::filesystem::path{"daemon"} /
                        std::filesystem::relative(path, "stillwell").replace_extension(".cpp");
    if (std::filesystem::exists(support::source_root() / source)) {
      const auto includes = support::includes_of(source);
      REQUIRE(!includes.empty());
      CHECK(includes.front().what == path.string());
      ++with_source;
      continue;
    }
    std::string name = path.string() + ".cpp";
    std::replace(name.begin(), name.end(), '/', '_');
    CHECK(std::filesystem::exists(folder / name));
    ++alone;
  }
  CHECK(with_source > 100);
  CHECK(alone > 10);
}
