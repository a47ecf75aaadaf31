#pragma once
// One fault in the base configuration, and the one problem that it must give: the place, the key path, and
// what is said about it. What merely follows from a fault is not told.

#include "stillwell/config/configuration.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/config_base.hpp"

namespace support {

struct Broken {
  const char* from;
  const char* to;
  int line;
  int column;
  const char* path;
  const char* says;
};

inline void expect_refused(const std::vector<Broken>& cases) {
  for (const Broken& broken : cases) {
    INFO(broken.from << "  ->  " << broken.to);
    const auto loaded = stillwell::config::parse(base_with(broken.from, broken.to), "site.yaml");
    CHECK_FALSE(loaded.configuration);
    CHECK(loaded.problems.size() == 1);
    for (const auto& problem : loaded.problems) {
      UNSCOPED_INFO(problem.to_text());
      CHECK(problem.line == broken.line);
      CHECK(problem.column == broken.column);
      CHECK(problem.path == broken.path);
      CHECK(problem.text.find(broken.says) != std::string::npos);
    }
  }
}

/// Every problem, a line each.
inline std::string told(const stillwell::config::Loaded& loaded) {
  std::string text;
  for (const auto& problem : loaded.problems)
    text += problem.to_text() + "\n";
  return text;
}

/// The same in a configuration other than the base, its place found by its text.
struct Wrong {
  const char* from;
  const char* to;
  const char* at;  ///< in what was written: the place of the problem, or with a | where in this text it is
  const char* path;
  const char* says;
};

inline void expect_refused(const std::string& base, const std::vector<Wrong>& cases) {
  for (const Wrong& wrong : cases) {
    INFO(wrong.from << "  ->  " << wrong.to);
    const std::string text = replaced(base, wrong.from, wrong.to);
    std::string around = wrong.at;
    const std::size_t bar = around.find('|');
    if (bar != std::string::npos) around.erase(bar, 1);
    const std::size_t behind = text.find(around, text.find(wrong.to));
    const std::size_t found = behind == std::string::npos ? text.find(around) : behind;
    REQUIRE(found != std::string::npos);
    const std::size_t at = found + (bar == std::string::npos ? 0 : bar);
    const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n');
    const std::size_t column = at - text.rfind('\n', at);
    const auto loaded = stillwell::config::parse(text, "site.yaml");
    INFO(told(loaded));
    CHECK_FALSE(loaded.configuration);
    REQUIRE(loaded.problems.size() == 1);
    CHECK(loaded.problems[0].line == line);
    CHECK(loaded.problems[0].column == static_cast<int>(column));
    CHECK(loaded.problems[0].path == wrong.path);
    CHECK(loaded.problems[0].text.find(wrong.says) != std::string::npos);
  }
}

}  // namespace support
