// The README tells users the kinds of alarms; it is checked against the rows that journal and broker read.

#include "stillwell/alarm/kinds.hpp"

#include <string>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"

using namespace stillwell;

namespace {

std::string word_of(Subject subject) {
  switch (subject) {
    case Subject::tank: return "tank";
    case Subject::pump: return "pump";
    case Subject::contact: return "contact";
    case Subject::line: return "line";
    case Subject::gateway: return "gateway";
  }
  return "";
}

}  // namespace

TEST_CASE("readme: its table of alarms has every kind, with its meaning and its remedy", "[alarm][docs]") {
  const std::string readme = support::read_file(support::source_dir() + "/README.md");
  REQUIRE_FALSE(readme.empty());
  for (const KindRow& row : kind_table()) {
    const std::string line = "| `" + std::string(row.word) + "` | " + word_of(row.of) + " | " +
                             std::string(row.text) + " | " + std::string(row.advice) + " |";
    INFO(line);
    CHECK(readme.find(line) != std::string::npos);
  }
}
