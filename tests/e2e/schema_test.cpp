// What `stillwell schema` prints, asked of a validator that is not ours: python3-jsonschema of Debian 12,
// draft 2020-12.
#include <filesystem>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include "support/stillwell_run.hpp"
#include <nlohmann/json.hpp>

namespace {

using Files = std::vector<std::string>;

/// Scenarios belong to the simulated site and have a grammar of their own.
Files examples() {
  Files files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(support::source_dir() + "/config")) {
    const std::string name = entry.path().filename();
    if (name.ends_with(".yaml") && !name.starts_with("scenario")) files.push_back(entry.path());
  }
  return files;
}

std::string schema_in(const support::TemporaryDirectory& directory) {
  const auto printed = support::stillwell({"schema"});
  CHECK(printed.exit_code == 0);
  CHECK(printed.err.empty());
  const auto schema = nlohmann::json::parse(printed.out, nullptr, false);
  REQUIRE_FALSE(schema.is_discarded());
  CHECK(schema.at("$schema") == "https://json-schema.org/draft/2020-12/schema");
  support::write_file(directory.file("schema.json"), printed.out);
  return directory.file("schema.json");
}

/// "valid FILE" or "invalid FILE: why", a line for each file, in their order.
Files verdicts(const std::string& schema, const Files& files) {
  Files argv{"/usr/bin/python3", support::source_dir() + "/tests/support/validate_schema.py", schema};
  argv.insert(argv.end(), files.begin(), files.end());
  const auto validator = support::ended(argv);
  INFO(validator.err);
  REQUIRE(validator.exit_code == 0);
  Files lines = support::lines_of_text(validator.out);
  lines.pop_back();
  REQUIRE(lines.size() == files.size());
  return lines;
}

/// One slip of the pen each, wherever an example has the words.
constexpr std::pair<const char*, const char*> kSlips[] = {
    {"site:", "sites:"},
    {"lines:\n", "wires: {}\nlines:\n"},
    {"carries: modbus", "carries: modbuss"},
    {"carries: range-frames", "carries: ranges"},
    {"    gauge: ", "    guage: "},
    {"station: 10,", "station: 256,"},
    {"to_floor: 2.85 m", "to_floor: 2.85"},
    {"to_full: ", "to_ful: "},
    {"at: 15 %", "at: fifteen"},
    {"duty: fill", "duty: full"},
    {"duty: drain", "duty: drains"},
    {"shape: vertical-cylinder, diameter", "shape: vertical-cylinder, width"},
    {"shape: rectangular, length", "shape: rectangular, long"},
    {"coil: 0", "coil: zero"},
    {"broken: on", "broken: sometimes"},
    {"scan: 500 ms", "scan: 500"},
    {"priority: high", "priority: urgent"},
    {"flow_rate: 60 L/min", "flow_rate: 60 L"},
    {"starts_per_hour: 8", "starts_per_hour: many"},
    {"pumps:\n", "pumps: []\nextra:\n"},
};

}  // namespace

TEST_CASE("schema: the validator takes every configuration that is shipped", "[e2e][schema]") {
  const support::TemporaryDirectory directory;
  const Files files = examples();
  REQUIRE(files.size() >= 11);
  for (const std::string& verdict : verdicts(schema_in(directory), files)) {
    INFO(verdict);
    CHECK(verdict.starts_with("valid "));
  }
}

TEST_CASE("schema: the validator refuses an example with a slip of the pen, and so does check",
          "[e2e][schema]") {
  const support::TemporaryDirectory directory;
  Files broken;
  for (const auto& [from, to] : kSlips) {
    const std::size_t before = broken.size();
    for (const std::string& example : examples()) {
      const std::string text = support::read_file(example);
      if (text.find(from) == std::string::npos) continue;
      broken.push_back(directory.file(std::to_string(broken.size()) + ".yaml"));
      support::write_file(broken.back(), support::replaced(text, from, to));
      if (broken.size() > before + 1)
        continue;  // of one slip check is asked once: it says more in its own tests
      INFO(example << ": " << from << " -> " << to);
      CHECK(support::stillwell({"check", "--config", broken.back()}).exit_code == 2);
    }
    INFO("no example has " << from);
    CHECK(broken.size() > before);
  }
  CHECK(broken.size() > 40);
  for (const std::string& verdict : verdicts(schema_in(directory), broken)) {
    INFO(verdict << "\n"
                 << support::read_file(
                        verdict.substr(verdict.find('/'), verdict.find(": ") - verdict.find('/'))));
    CHECK(verdict.starts_with("invalid "));
  }
}
