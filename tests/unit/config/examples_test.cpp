// Every configuration that is shipped loads, and `check` does not cry wolf on it.
#include "stillwell/config/configuration.hpp"

#include <algorithm>
#include <filesystem>
#include <vector>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"

using namespace stillwell::config;

namespace {

/// Scenarios belong to the simulated site and have a grammar of their own.
std::vector<std::filesystem::path> shipped() {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(support::source_dir() + "/config")) {
    const bool is_scenario = entry.path().filename().string().starts_with("scenario");
    if (entry.path().extension() == ".yaml" && !is_scenario) files.push_back(entry.path());
  }
  return files;
}

}  // namespace

TEST_CASE("examples: every shipped configuration loads without an error", "[config][examples]") {
  const auto files = shipped();
  CHECK(files.size() >= 5);
  for (const auto& file : files) {
    const Loaded loaded = load(file);
    for (const Problem& problem : loaded.problems)
      UNSCOPED_INFO(problem.to_text());
    CHECK(loaded.configuration);
  }
}

TEST_CASE("examples: none that is meant to start from has a warning", "[config][examples]") {
  for (const auto& file : shipped()) {
    if (file.parent_path().filename() == "demo") continue;  // its limits are short on purpose, and it says so
    const Loaded loaded = load(file);
    REQUIRE(loaded.configuration);
    for (const Finding& finding : examine(*loaded.configuration)) {
      INFO(file << ": " << finding.code << " " << finding.of << ": " << finding.text);
      CHECK(finding.severity == Severity::note);
    }
  }
}

TEST_CASE("examples: the first configuration is one tank and one pump in 25 lines", "[config][examples]") {
  const std::string file = support::source_dir() + "/config/first-tank.yaml";
  const std::string text = support::read_file(file);
  CHECK(std::count(text.begin(), text.end(), '\n') <= 25);
  const Loaded loaded = load(file);
  REQUIRE(loaded.configuration);
  CHECK(loaded.configuration->model.tanks.size() == 1);
  CHECK(loaded.configuration->model.pumps.size() == 1);
}

TEST_CASE("examples: each of the five to start from is what it says", "[config][examples]") {
  const auto model_of = [](const char* name) {
    const Loaded loaded = load(support::source_dir() + "/config/" + name + ".yaml");
    REQUIRE(loaded.configuration);
    return loaded.configuration->model;
  };
  const auto roof = model_of("roof-tank");
  CHECK(roof.pumps.empty());
  CHECK(std::count_if(roof.alarms.begin(), roof.alarms.end(),
                      [](const stillwell::Alarm& alarm) { return is_of_level(alarm.kind); }) == 1);
  const auto header = model_of("header-and-cistern");
  REQUIRE(header.pumps.size() == 1);
  CHECK(header.pumps[0].source);
  CHECK(header.pumps[0].source_below);
  CHECK(header.pumps[0].float_trip);
  const auto bore = model_of("borehole");
  REQUIRE(bore.pumps.size() == 1);
  CHECK_FALSE(bore.pumps[0].source);
  CHECK(bore.pumps[0].dry_run.power);
  const auto rain = model_of("rain-cistern");
  REQUIRE(rain.pumps.size() == 1);
  CHECK(rain.pumps[0].drive == stillwell::Drive::valve);
  const auto shed = model_of("packing-shed");
  REQUIRE(shed.sets.size() == 1);
  CHECK(shed.sets[0].order == stillwell::SetOrder::alternate);
  CHECK(shed.sets[0].pumps.size() == 2);
}

TEST_CASE("examples: the orchard has its four tanks, three pumps and two kinds of lines",
          "[config][examples]") {
  const Loaded loaded = load(support::source_dir() + "/config/orchard.yaml");
  REQUIRE(loaded.configuration);
  const auto& site = *loaded.configuration;
  CHECK(site.model.tanks.size() == 4);
  CHECK(site.model.pumps.size() == 3);
  CHECK(site.wiring.lines.at(0).carries == Carries::modbus);
  CHECK(site.wiring.lines.at(1).carries == Carries::range_frames);
  CHECK(site.broker->tls);
}
