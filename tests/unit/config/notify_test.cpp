// The section of the program that is told: what is taken, what is refused, and what is unwise.
#include "stillwell/config/configuration.hpp"

#include <chrono>

#include "support/catch.hpp"
#include "support/config_broken.hpp"
#include "support/config_whole.hpp"
#include "support/process.hpp"
#include <sys/stat.h>

using namespace stillwell;
using namespace stillwell::config;
using namespace std::chrono_literals;
using support::base_with;
using support::expect_refused;

namespace {

std::string base_and(const std::string& notify) {
  return base_with("lines:\n", "notify: " + notify + "\nlines:\n");
}

std::vector<Finding> about_program(const std::string& path) {
  const Loaded loaded = parse(base_and("{ run: " + path + " }"), "site.yaml");
  REQUIRE(loaded.configuration);
  std::vector<Finding> found;
  for (const Finding& finding : examine(*loaded.configuration)) {
    if (!finding.code.starts_with("program-")) continue;
    CHECK(place_of(loaded, finding).line == 3);
    found.push_back(finding);
  }
  return found;
}

void expect_finding(const std::string& path, const std::string& code) {
  INFO(path << "  ->  " << code);
  const auto found = about_program(path);
  REQUIRE(found.size() == 1);
  CHECK(found[0].code == code);
  CHECK(found[0].severity == Severity::warning);
  CHECK(found[0].text.find(path) != std::string::npos);
}

}  // namespace

TEST_CASE("notify: a path alone has every default", "[config][notify]") {
  const auto notify = support::whole(base_and("{ run: /usr/local/bin/tell-me }")).notify;
  REQUIRE(notify);
  CHECK(notify->run == std::vector<std::string>{"/usr/local/bin/tell-me"});
  CHECK(notify->priorities == std::vector{Priority::high});
  CHECK(notify->at_most == 10);
  CHECK(notify->within == 30s);
  CHECK_FALSE(support::whole(support::kConfigBase).notify);
}

TEST_CASE("notify: arguments, priorities and limits as they are written", "[config][notify]") {
  const auto notify = support::whole(base_and("{ run: [/bin/tell, --to, \"7\"], for: [medium, high], "
                                              "at_most: 60/h, within: 5 min }"))
                          .notify;
  REQUIRE(notify);
  CHECK(notify->run == std::vector<std::string>{"/bin/tell", "--to", "7"});
  CHECK(notify->priorities == std::vector{Priority::medium, Priority::high});
  CHECK(notify->at_most == 60);
  CHECK(notify->within == 5min);
  CHECK(support::whole(base_and("{ run: /bin/tell, for: low }")).notify->priorities ==
        std::vector{Priority::low});
}

TEST_CASE("notify: what cannot be meant is refused with its place", "[config][errors][notify]") {
  expect_refused({
      {"lines:\n", "notify: { for: high }\nlines:\n", 3, 1, "notify", "missing key 'run'"},
      {"lines:\n", "notify: { run: tell-me }\nlines:\n", 3, 16, "notify.run",
       "'tell-me' is no absolute path; expected a program such as /usr/local/bin/tell-me"},
      {"lines:\n", "notify: { run: [] }\nlines:\n", 3, 16, "notify.run",
       "expected one alone, or a list of one or more"},
      {"lines:\n", "notify: { run: [/bin/tell, 7] }\nlines:\n", 3, 28, "notify.run[1]",
       "in quotes if it is meant"},
      {"lines:\n", "notify: { run: { path: /bin/tell } }\nlines:\n", 3, 16, "notify.run",
       "expected a text, found a map"},
      {"lines:\n", "notify: { run: \"/bin/${TELL}\" }\nlines:\n", 3, 16, "notify.run",
       "variables are replaced in ca, cert, key and *_file only"},
      {"lines:\n", "notify: { run: /bin/tell, for: [urgent] }\nlines:\n", 3, 33, "notify.for[0]",
       "'urgent' is not a word for this; expected one of: low, medium, high"},
      {"lines:\n", "notify: { run: /bin/tell, at_most: 10 }\nlines:\n", 3, 36, "notify.at_most",
       "'10' has no unit; expected /h"},
      {"lines:\n", "notify: { run: /bin/tell, at_most: 10/min }\nlines:\n", 3, 36, "notify.at_most",
       "'/min' is not a unit for this; expected /h"},
      {"lines:\n", "notify: { run: /bin/tell, at_most: 61/h }\nlines:\n", 3, 36, "notify.at_most",
       "out of range; expected 1/h to 60/h"},
      {"lines:\n", "notify: { run: /bin/tell, at_most: 1.5/h }\nlines:\n", 3, 36, "notify.at_most",
       "expected a whole number of calls an hour, such as 10/h"},
      {"lines:\n", "notify: { run: /bin/tell, within: 500 ms }\nlines:\n", 3, 35, "notify.within",
       "out of range; expected 1 s to 5 min"},
  });
}

TEST_CASE("findings: a program that is missing, cannot be run, or can be changed by others",
          "[config][findings][notify]") {
  const support::TemporaryDirectory directory;
  const std::string program = directory.file("tell-me");
  expect_finding(program, "program-missing");
  support::write_file(program, "#!/bin/sh\n");
  REQUIRE(::chmod(program.c_str(), 0644) == 0);
  expect_finding(program, "program-not-executable");
  REQUIRE(::chmod(program.c_str(), 0757) == 0);
  expect_finding(program, "program-writable");
  REQUIRE(::chmod(program.c_str(), 0755) == 0);
  CHECK(about_program(program).empty());
  expect_finding(directory.path(), "program-not-executable");
}
