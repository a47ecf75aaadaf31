#pragma once
// One fault in the base configuration, and the one problem that it must give: the place, the key path, and
// what is said about it. What merely follows from a fault is not told.

#include "stillwell/config/configuration.hpp"

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

}  // namespace support
