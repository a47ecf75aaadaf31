// The real program, on real files: what `check` and `schema` print, where, and with which exit code.
#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>

namespace {

struct Run {
  int exit_code = -1;
  std::string out;
  std::string err;
};

Run stillwell(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), support::binary_dir() + "/stillwell");
  support::Process process(arguments);
  const auto exit_code = process.wait_exit();
  REQUIRE(exit_code);
  return {*exit_code, process.out(), process.err()};
}

}  // namespace

TEST_CASE("check: a configuration without a warning exits 0 and says what it is", "[e2e][check]") {
  const Run run = stillwell({"check", "--config", support::source_dir() + "/config/header-and-cistern.yaml"});
  CHECK(run.exit_code == 0);
  CHECK(run.err.empty());
  CHECK(run.out.find("2 tanks, 1 pump, 1 line; no errors") != std::string::npos);
}

TEST_CASE("check: a warning exits 1 and goes to stdout", "[e2e][check]") {
  const support::TemporaryDirectory directory;
  const std::string file = directory.file("site.yaml");
  support::write_file(file, support::base_with("every: 1 s", "blanking: 50 cm"));
  const Run run = stillwell({"check", "--config", file});
  CHECK(run.exit_code == 1);
  CHECK(run.err.empty());
  CHECK(run.out.find(file + ":30: warning [full-in-blanking] header: ") != std::string::npos);
}

TEST_CASE("check: errors exit 2 and go to stderr with their places", "[e2e][check]") {
  const support::TemporaryDirectory directory;
  const std::string file = directory.file("site.yaml");
  support::write_file(file, support::base_with("to_full: 0.40 m", "to_full: 0.40"));
  const Run run = stillwell({"check", "--config", file});
  CHECK(run.exit_code == 2);
  CHECK(run.out.empty());
  CHECK(run.err.find(file + ":33:14: tanks.header.to_full: '0.40' has no unit") != std::string::npos);
}

TEST_CASE("check: with --json problems and findings are one document on stdout", "[e2e][check]") {
  const support::TemporaryDirectory directory;
  const std::string file = directory.file("site.yaml");
  support::write_file(file, support::base_with("id: orchard", "id: orchard, colour: red"));
  const Run broken = stillwell({"check", "--json", "--config", file});
  CHECK(broken.exit_code == 2);
  const auto problems = nlohmann::json::parse(broken.out, nullptr, false);
  REQUIRE_FALSE(problems.is_discarded());
  REQUIRE(problems.at("problems").size() == 1);
  CHECK(problems["problems"][0].at("line") == 1);
  CHECK(problems["problems"][0].at("column") == 22);
  CHECK(problems["problems"][0].at("path") == "site.colour");
  CHECK(problems.at("findings").empty());

  support::write_file(file, support::base_with("every: 1 s", "blanking: 50 cm"));
  const auto findings =
      nlohmann::json::parse(stillwell({"check", "--json", "--config", file}).out, nullptr, false);
  REQUIRE_FALSE(findings.is_discarded());
  CHECK(findings.at("problems").empty());
  CHECK(findings.at("findings").at(0).at("code") == "full-in-blanking");
  CHECK(findings.at("findings").at(0).at("severity") == "warning");
  CHECK(findings.at("findings").at(0).at("file") == file);
  CHECK(findings.at("findings").at(0).at("line") == 30);
  CHECK(findings.at("findings").at(0).at("column") == 3);
  CHECK(findings.at("findings").at(0).at("path") == "tanks.header");
}

TEST_CASE("check: a file that is not there is an error and not a crash", "[e2e][check]") {
  const Run run = stillwell({"check", "--config", "/nowhere/site.yaml"});
  CHECK(run.exit_code == 2);
  CHECK(run.err.find("/nowhere/site.yaml: there is no such file") != std::string::npos);
}
