// The README tells users the causes; it is checked against the rows that the interlock reads.

#include "stillwell/pump/causes.hpp"

#include <string>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"

using namespace stillwell;

TEST_CASE("readme: its table of causes is the one that the pumps obey", "[pump][docs]") {
  const std::string readme = support::read_file(support::source_dir() + "/README.md");
  REQUIRE_FALSE(readme.empty());
  for (const CauseRow& row : cause_table()) {
    const std::string returns{to_word(row.returns)};
    const std::string line = "| `" + std::string(row.word) + "` | " + std::string(row.text) + " | " +
                             std::string(to_word(row.verdict)) + ", " + returns + " |";
    INFO(line);
    CHECK(readme.find(line) != std::string::npos);
  }
}

TEST_CASE("readme: its first configuration is the shipped one", "[config][docs]") {
  const std::string readme = support::read_file(support::source_dir() + "/README.md");
  const std::string first = support::read_file(support::source_dir() + "/config/first-tank.yaml");
  REQUIRE_FALSE(first.empty());
  CHECK(readme.find(first) != std::string::npos);
}
