// Floats at known heights: what a mark must say, and what it may not.

#include <algorithm>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/config_whole.hpp"

using namespace stillwell;
using support::replaced;

namespace {

/// The base, with what stands under `marks` of its header.
std::string marked(const std::string& marks) {
  return support::base_with("    alarms:\n      low: { at: 15 % }\n",
                            "    marks: " + marks + "\n    alarms:\n      low: { at: 15 % }\n");
}

struct Wrong {
  std::string text;
  std::string path;
  std::string at;  ///< where the problem stands
  std::string says;
};

void expect_refused(const Wrong& wrong) {
  INFO(wrong.path << ": " << wrong.says);
  const auto loaded = config::parse(wrong.text, "site.yaml");
  CHECK_FALSE(loaded.configuration);
  for (const auto& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(loaded.problems.size() == 1);
  const config::Problem& problem = loaded.problems[0];
  CHECK(problem.path == wrong.path);
  CHECK(problem.text.find(wrong.says) != std::string::npos);
  const std::size_t found = wrong.text.find(wrong.at);
  REQUIRE(found != std::string::npos);
  const auto end = wrong.text.begin() + static_cast<std::ptrdiff_t>(found);
  CHECK(problem.line == static_cast<int>(1 + std::count(wrong.text.begin(), end, '\n')));
  CHECK(problem.column == static_cast<int>(found - wrong.text.rfind('\n', found)));
}

}  // namespace

TEST_CASE("marks: a float's height, its sense, its play and its broken wire reach the rules",
          "[config][marks]") {
  const auto site = support::whole(marked("[{ float: full-float, on_above: 95 % }]"));
  const Tank& header = site.model.tanks[0];
  REQUIRE(header.marks.size() == 1);
  const TankMark& mark = header.marks[0];
  CHECK(site.model.switches[mark.input.at].id == "full-float");
  CHECK(mark.rules.at.value() == Approx(2.45 * 0.95));
  CHECK(mark.rules.swing == Metres{0.05});
  CHECK(mark.rules.on_is_above);
  CHECK(mark.rules.broken_is_on);
  const auto below = support::whole(marked("[{ float: full-float, on_below: 40 cm, swing: 8 cm }]"));
  const MarkRules& rules = below.model.tanks[0].marks.at(0).rules;
  CHECK(rules.at.value() == Approx(0.4));
  CHECK(rules.swing == Metres{0.08});
  CHECK_FALSE(rules.on_is_above);
}

TEST_CASE("marks: what could confirm nothing, or too much, is refused", "[config][marks]") {
  const std::string half = "[{ float: full-float }]";
  const std::string twice = "[{ float: full-float, on_above: 95 %, on_below: 5 % }]";
  const std::string outside = "[{ float: full-float, on_above: 3 m }]";
  const std::string undeclared = "[{ float: running, on_above: 95 % }]";
  const std::string here = "tanks.header.marks[0]";
  expect_refused({marked(half), here, "{ float: full-float }", "exactly one of on_above | on_below"});
  expect_refused({marked(twice), here + ".on_below", "on_below: 5", "exactly one of on_above | on_below"});
  expect_refused({marked(outside), here + ".on_above", "3 m }]", "is outside tank 'header'"});
  expect_refused({marked(undeclared), here + ".float", "running, on_above",
                  "does not declare what a broken wire looks like; a mark needs broken: on or off"});
}

TEST_CASE("marks: a float hangs in one place", "[config][marks]") {
  const std::string again = "[{ float: full-float, on_above: 95 % }, { float: full-float, on_above: 50 % }]";
  expect_refused({marked(again), "tanks.header.marks[1].float", "full-float, on_above: 50",
                  "tank 'header' has this float at a mark already"});
  const std::string elsewhere =
      replaced(marked("[{ float: full-float, on_above: 95 % }]"), "    to_full: 0.5 m\n",
               "    to_full: 0.5 m\n    marks: [{ float: full-float, on_above: 1 m }]\n");
  expect_refused({elsewhere, "tanks.cistern.marks[0].float", "full-float, on_above: 1 m",
                  "tank 'header' has this float at a mark already"});
}
