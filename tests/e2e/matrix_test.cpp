// The real program on the shipped examples: the cause-and-effect matrix as text, table and picture.
#include "stillwell/pump/causes.hpp"

#include <filesystem>
#include <set>
#include <sstream>

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

Run run_stillwell(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), support::binary_dir() + "/stillwell");
  support::Process process(arguments);
  const auto exit_code = process.wait_exit();
  REQUIRE(exit_code);
  return {*exit_code, process.out(), process.err()};
}

Run matrix_of(const std::string& configuration, std::vector<std::string> options = {}) {
  std::vector<std::string> arguments{"matrix", "--config", configuration};
  arguments.insert(arguments.end(), options.begin(), options.end());
  return run_stillwell(arguments);
}

std::string orchard() {
  return support::source_dir() + "/config/orchard.yaml";
}

std::vector<std::string> shipped() {
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(support::source_dir() + "/config")) {
    const std::string name = entry.path().filename();
    if (name.ends_with(".yaml") && name != "scenario.yaml") files.push_back(entry.path());
  }
  return files;
}

std::string seen_by(const std::string& script, const std::vector<std::string>& files) {
  std::vector<std::string> command{"python3", script};
  command.insert(command.end(), files.begin(), files.end());
  support::Process process(command);
  REQUIRE(process.wait_exit());
  return process.out() + process.err();
}

}  // namespace

TEST_CASE("matrix: every shipped example prints within 100 columns", "[e2e][matrix]") {
  REQUIRE(shipped().size() >= 7);
  for (const std::string& file : shipped()) {
    INFO(file);
    const Run run = matrix_of(file);
    CHECK(run.exit_code == 0);
    CHECK(run.err.empty());
    CHECK(run.out.find("What raises an alarm") != std::string::npos);
    std::istringstream lines{run.out};
    for (std::string line; std::getline(lines, line);)
      CHECK(line.size() <= 100);
  }
}

TEST_CASE("matrix: every shipped example becomes a picture in which no texts touch", "[e2e][matrix]") {
  const support::TemporaryDirectory directory;
  std::vector<std::string> pictures;
  for (const std::string& file : shipped()) {
    pictures.push_back(directory.file(std::to_string(pictures.size()) + ".svg"));
    const Run run = matrix_of(file, {"--svg", pictures.back()});
    CHECK(run.exit_code == 0);
    CHECK(run.out.empty());
    CHECK(matrix_of(file, {"--svg", "-"}).out == support::read_file(pictures.back()));
  }
  std::string well;
  for (const std::string& picture : pictures)
    well += "well " + picture + "\n";
  CHECK(seen_by(support::source_dir() + "/tests/support/svg_check.py", pictures) == well);
}

TEST_CASE("matrix: the checksum on it is that of the file", "[e2e][matrix]") {
  support::Process crc{{"python3", "-c",
                        "import sys, zlib; print('%08x' % zlib.crc32(open(sys.argv[1], 'rb').read()))",
                        orchard()}};
  REQUIRE(crc.wait_exit() == 0);
  const std::string expected = "orchard.yaml, CRC-32 " + crc.out().substr(0, 8);
  CHECK(matrix_of(orchard()).out.find("\n" + expected + "\n") != std::string::npos);
  CHECK(matrix_of(orchard(), {"--svg", "-"}).out.find(">" + expected + "<") != std::string::npos);
}

TEST_CASE("matrix: as CSV it has every cause and every alarm, read by another program", "[e2e][matrix]") {
  const support::TemporaryDirectory directory;
  const std::string file = directory.file("matrix.csv");
  REQUIRE(matrix_of(orchard(), {"--csv", file}).exit_code == 0);
  support::Process reader{
      {"python3", "-c",
       "import csv, json, sys\n"
       "print(json.dumps(list(csv.DictReader(open(sys.argv[1], newline=''), strict=True))))",
       file}};
  REQUIRE(reader.wait_exit() == 0);
  const auto rows = nlohmann::json::parse(reader.out(), nullptr, false);
  REQUIRE(rows.is_array());
  const auto row = [&](const std::string& kind, const std::string& name) {
    for (const auto& each : rows)
      if (each.at("kind") == kind && each.at("name") == name) return each;
    return nlohmann::json{};
  };
  CHECK(row("cause", "source-low")["pump lift"] ==
        "trips: cistern below 15 % (0.330 m) until 25 % (0.550 m)");
  CHECK(row("cause", "float")["pump lift"] == "trips: header-float on");
  CHECK(row("cause", "float")["pump bore"] == "-");
  CHECK(row("alarm", "header/low-low")["priority"] == "high");
  CHECK(row("alarm", "header/low-low")["annunciator yard"] == "sounds");
  CHECK(row("alarm", "lift/tripped")["annunciator yard"] == "");

  const auto json = nlohmann::json::parse(matrix_of(orchard(), {"--json"}).out, nullptr, false);
  REQUIRE(json.is_object());
  CHECK(json.at("causes").size() + json.at("alarms").size() == rows.size());
  for (const auto& cause : json.at("causes")) {
    INFO(cause.dump());
    CHECK(row("cause", cause.at("cause")).is_object());
    for (const auto& [pump, effect] : cause.at("pumps").items())
      CHECK(row("cause", cause.at("cause"))["pump " + pump].get<std::string>().ends_with(
          effect.at("when").get<std::string>()));
  }
}

TEST_CASE("matrix: the modes are told of exactly the causes of the table, without a configuration",
          "[e2e][matrix]") {
  const Run run = matrix_of("/nowhere.yaml", {"--modes", "--json"});
  CHECK(run.exit_code == 0);
  const auto json = nlohmann::json::parse(run.out, nullptr, false);
  REQUIRE(json.is_object());
  const auto& modes = json.at("modes");
  REQUIRE(modes.size() == stillwell::cause_table().size());
  for (const stillwell::CauseRow& row : stillwell::cause_table()) {
    const auto& mode = modes.at(static_cast<std::size_t>(row.cause));
    INFO(row.word);
    CHECK(mode.at("cause") == row.word);
    CHECK(mode.at("does").at("auto") == to_word(row.verdict));
    CHECK(mode.at("does").size() == 4);
  }
  const std::string text = run_stillwell({"matrix", "--modes"}).out;
  for (const stillwell::CauseRow& row : stillwell::cause_table())
    CHECK(text.find("\n" + std::string(row.word) + " ") != std::string::npos);
}

TEST_CASE("readme: the matrix in it is what the program prints", "[e2e][matrix][docs]") {
  const Run run = matrix_of(support::source_dir() + "/config/header-and-cistern.yaml");
  const std::size_t end = run.out.find("\n\nWhat raises an alarm");
  REQUIRE(end != std::string::npos);
  const std::string readme = support::read_file(support::source_dir() + "/README.md");
  CHECK(readme.find("```\n" + run.out.substr(0, end) + "\n```") != std::string::npos);
}

TEST_CASE("matrix: what cannot be read or written is an error, and nothing is printed", "[e2e][matrix]") {
  const support::TemporaryDirectory directory;
  const Run missing = matrix_of(directory.file("none.yaml"));
  CHECK(missing.exit_code == 2);
  CHECK(missing.out.empty());
  support::write_file(directory.file("broken.yaml"), support::base_with("to_full: 0.40 m", "to_full: 0.40"));
  const Run broken = matrix_of(directory.file("broken.yaml"));
  CHECK(broken.exit_code == 2);
  CHECK(broken.err.find("broken.yaml:33:14: tanks.header.to_full: '0.40' has no unit") != std::string::npos);
  const Run unwritable = matrix_of(orchard(), {"--svg", directory.file("no/such/folder.svg")});
  CHECK(unwritable.exit_code == 2);
  CHECK(unwritable.err.find("cannot be written") != std::string::npos);
  CHECK(matrix_of(orchard(), {"--csv", "-", "--svg", "-"}).exit_code == 2);
  CHECK(matrix_of(orchard(), {"--csv", "-", "--json"}).exit_code == 2);
}
