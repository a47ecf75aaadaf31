// The real program on the shipped examples and on one tank of every shape: sections and dip charts as
// drawings that a viewer can read, and their heights as a table.
#include "stillwell/config/configuration.hpp"

#include <charconv>
#include <cmath>
#include <filesystem>
#include <map>
#include <sstream>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>

namespace {

struct Drawn {
  int exit_code = -1;
  std::string out;
  std::string err;
};

Drawn drawn(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), support::binary_dir() + "/stillwell");
  support::Process process(arguments);
  const auto exit_code = process.wait_exit();
  REQUIRE(exit_code);
  return {*exit_code, process.out(), process.err()};
}

std::vector<std::string> examples() {
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(support::source_dir() + "/config")) {
    const std::string name = entry.path().filename();
    if (name.ends_with(".yaml") && name != "scenario.yaml") files.push_back(entry.path());
  }
  return files;
}

std::vector<stillwell::Tank> tanks_of(const std::string& file) {
  const auto loaded = stillwell::config::load(file);
  REQUIRE(loaded.configuration);
  return loaded.configuration->model.tanks;
}

/// Empty when every picture is well.
std::string faults_in(const std::vector<std::string>& pictures) {
  std::vector<std::string> command{"python3", support::source_dir() + "/tests/support/svg_check.py"};
  command.insert(command.end(), pictures.begin(), pictures.end());
  support::Process process(command);
  REQUIRE(process.wait_exit());
  std::string well;
  for (const std::string& picture : pictures)
    well += "well " + picture + "\n";
  return process.out() == well ? process.err() : process.out() + process.err();
}

/// Draws sections and charts of all tanks of a file into a folder.
void draw_all(const std::string& file, const support::TemporaryDirectory& folder,
              std::vector<std::string>& pictures) {
  for (const stillwell::Tank& tank : tanks_of(file)) {
    INFO(file << " " << tank.id);
    for (const std::string command : {"section", "chart"}) {
      const bool is_refused = command == "chart" && tank.floats;
      const std::string picture = folder.file(command + std::to_string(pictures.size()) + ".svg");
      const Drawn run = drawn({command, tank.id, "--config", file, "--svg", picture});
      CHECK(run.exit_code == (is_refused ? 2 : 0));
      CHECK(run.out.empty());
      if (is_refused) continue;
      CHECK(drawn({command, tank.id, "--config", file, "--svg", "-"}).out == support::read_file(picture));
      pictures.push_back(picture);
    }
  }
}

/// A tank with all that crowds a drawing: three gauges, six alarms near each other, a pump with its trips.
std::string crowded() {
  return R"(site: { id: one, name: "Söhne <& Co>" }
lines: { shed: { port: /dev/ttyUSB0, speed: 9600 8N1, carries: modbus } }
gauges:
  top: { line: shed, station: 1, distance: { table: input, address: 0, as: u16, unit: mm }, blanking: 10 cm, beam: 14 deg, reach: 30 m }
  side: { line: shed, station: 2, distance: { table: input, address: 0, as: u16, unit: mm }, blanking: 30 cm, reach: 30 m }
  deep: { line: shed, station: 3, depth: { table: input, address: 0, as: u16, unit: mm }, mounted_at: 1 cm }
contacts:
  k: { line: shed, station: 9, coil: 0, fails_off: wired }
tanks:
  t:
    name: A tank with a rather long name
    gauges: [top, side, deep]
    disagree: 5 cm
    to_floor: TOFLOOR m
    to_full: 0.5 m
    unusable: 2 cm
    holds: { HOLDS }
    alarms:
      low-low: { at: 10 %, deadband: 5 % }
      low: { at: 11 %, deadband: 9 % }
      high: { at: 91 %, deadband: 5 % }
      high-high: { at: 91.5 %, deadband: 2 %, priority: high }
pumps:
  fills: { duty: fill, kind: valve, tank: t, start_at: 12 %, stop_at: 90 %, contact: k, trips: { high: 92 % }, flow_rate: 50 L/min, limits: { run_at_most: 2 h } }
)";
}

std::string filled_in(std::string text, const std::string& name, const std::string& value) {
  const std::size_t at = text.find(name);
  REQUIRE(at != std::string::npos);
  return text.replace(at, name.size(), value);
}

double number_in(const std::string& cell) {
  double value = std::nan("");
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  REQUIRE((error == std::errc{} && end == cell.data() + cell.size()));
  return value;
}

/// Lines of the table, less its head.
std::vector<std::vector<std::string>> table_of(const std::string& file, const std::string& tank) {
  const Drawn run = drawn({"section", tank, "--config", file, "--csv"});
  REQUIRE(run.exit_code == 0);
  std::istringstream lines{run.out};
  std::string line;
  REQUIRE(std::getline(lines, line));
  CHECK(line == "kind,of,height_m,until_m,text");
  std::vector<std::vector<std::string>> table;
  while (std::getline(lines, line)) {
    table.push_back(support::split_csv(line));
    REQUIRE(table.back().size() == 5);
  }
  return table;
}

using Heights = std::map<std::string, double>;

/// By kind and thing, which is empty for the tank itself; what has no height is left out.
Heights heights_of(const std::string& file, const std::string& tank) {
  Heights heights;
  double above = 1e9;
  for (const auto& row : table_of(file, tank)) {
    if (row[2].empty()) continue;
    heights[row[0] + " " + row[1]] = number_in(row[2]);
    CHECK(number_in(row[2]) <= above);
    above = number_in(row[2]);
  }
  return heights;
}

void compare_vessel(const stillwell::Model& model, const stillwell::Tank& tank, const Heights& heights) {
  CHECK(heights.at("full ") == tank.full().value());
  CHECK(heights.at("floor ") == 0.0);
  CHECK(heights.count("unusable ") == (tank.unusable > stillwell::Metres{0.0} ? 1U : 0U));
  for (const stillwell::TankGauge& mounted : tank.gauges) {
    const auto& gauge = model.gauges.at(mounted.gauge.at);
    const bool distance = gauge.rules.measures == stillwell::Measures::distance;
    const double face = mounted.mounting.to_floor.value();
    CHECK(heights.at("sensor " + gauge.id) == (distance ? face : -face));
  }
}

/// How many set points were compared.
std::size_t compare_set_points(const stillwell::Model& model, const stillwell::Tank& tank,
                               const Heights& heights) {
  std::size_t compared = 0;
  for (const stillwell::Alarm& alarm : model.alarms) {
    if (!is_of_level(alarm.kind) || alarm.id.substr(0, alarm.id.find('/')) != tank.id) continue;
    CHECK(heights.at("alarm " + alarm.id) == alarm.at.value());
    ++compared;
  }
  for (const stillwell::Pump& pump : model.pumps) {
    if (model.tanks.at(pump.tank.at).id != tank.id || !model.sets.empty()) continue;
    CHECK(heights.at("start " + pump.id) == pump.start_level.value());
    CHECK(heights.at("stop " + pump.id) == pump.stop_level.value());
    ++compared;
  }
  return compared;
}

}  // namespace

TEST_CASE("drawings: of every tank of every shipped example no text touches another or leaves the sheet",
          "[e2e][drawings]") {
  const support::TemporaryDirectory folder;
  std::vector<std::string> pictures;
  REQUIRE(examples().size() >= 9);
  for (const std::string& file : examples())
    draw_all(file, folder, pictures);
  REQUIRE(pictures.size() >= 30);
  CHECK(faults_in(pictures).empty());
}

TEST_CASE("drawings: nor in a crowded tank of any shape and any proportion", "[e2e][drawings]") {
  const support::TemporaryDirectory folder;
  std::vector<std::string> pictures;
  for (const auto& [full, holds] : std::vector<std::pair<double, std::string>>{
           {2.0, "shape: vertical-cylinder, diameter: 2 m, bottom: { kind: conical, depth: 0.8 m }"},
           {1.9, "shape: horizontal-cylinder, diameter: 2 m, length: 4 m, heads: hemispherical"},
           {1.5, "shape: horizontal-oval, width: 2.4 m, height: 1.6 m, length: 4 m"},
           {1.5, "shape: horizontal-obround, width: 2.4 m, height: 1.6 m, length: 4 m"},
           {1.4, "shape: rectangular-frustum, bottom: [1.0 m, 0.6 m], top: [2.2 m, 1.4 m], height: 1.5 m"},
           {2.4, "shape: cone, diameter: 2 m, height: 2.5 m"},
           {2.4, "shape: frustum, bottom: 1.2 m, top: 2 m, height: 2.5 m"},
           {2.9, "shape: sphere, diameter: 3 m"},
           {3.5,
            "shape: stack, sections: [{ shape: cone, diameter: 2 m, height: 80 cm }, "
            "{ shape: vertical-cylinder, diameter: 2 m, height: 3 m }]"},
           {1.0, "strapping: [[0 cm, 0 L], [10 cm, 180 L], [1 m, 4.9 m3]]"},
           {25.0, "shape: vertical-cylinder, diameter: 15 cm"},
           {0.4, "shape: rectangular, length: 60 m, width: 20 m"}}) {
    INFO(holds);
    std::ostringstream to_floor;
    to_floor << full + 0.5;
    const std::string file = folder.file("crowded" + std::to_string(pictures.size()) + ".yaml");
    support::write_file(file, filled_in(filled_in(crowded(), "TOFLOOR", to_floor.str()), "HOLDS", holds));
    const Drawn check = drawn({"check", "--config", file});
    INFO(check.out << check.err);
    REQUIRE(check.exit_code < 2);
    draw_all(file, folder, pictures);
  }
  CHECK(faults_in(pictures).empty());
}

TEST_CASE("drawings: the heights of the table are those of the configuration", "[e2e][drawings]") {
  std::size_t compared = 0;
  for (const std::string& file : examples()) {
    const auto loaded = stillwell::config::load(file);
    REQUIRE(loaded.configuration);
    const stillwell::Model& model = loaded.configuration->model;
    for (const stillwell::Tank& tank : model.tanks) {
      INFO(file << " " << tank.id);
      const Heights heights = heights_of(file, tank.id);
      if (tank.floats) continue;
      compare_vessel(model, tank, heights);
      compared += compare_set_points(model, tank, heights);
    }
  }
  CHECK(compared > 20);
}

TEST_CASE("section: the text, the table and the JSON have the same rows", "[e2e][drawings]") {
  const std::string file = support::source_dir() + "/config/orchard.yaml";
  const auto table = table_of(file, "cistern");
  const Drawn json = drawn({"section", "cistern", "--config", file, "--json"});
  const auto parsed = nlohmann::json::parse(json.out, nullptr, false);
  REQUIRE(parsed.is_object());
  const auto& rows = parsed.at("section");
  REQUIRE(rows.size() == table.size());
  const Drawn text = drawn({"section", "cistern", "--config", file});
  CHECK(text.exit_code == 0);
  for (std::size_t at = 0; at < table.size(); ++at) {
    CHECK(rows[at].at("kind") == table[at][0]);
    CHECK(rows[at].contains("height_m") == !table[at][2].empty());
    if (!table[at][2].empty()) CHECK(rows[at].at("height_m") == number_in(table[at][2]));
    CHECK(text.out.find(table[at][4]) != std::string::npos);
  }
}

TEST_CASE("drawings: what cannot be drawn or written is an error, and nothing is printed",
          "[e2e][drawings]") {
  const support::TemporaryDirectory folder;
  const std::string file = support::source_dir() + "/config/orchard.yaml";
  for (const std::string command : {"section", "chart"}) {
    const Drawn unknown = drawn({command, "heder", "--config", file, "--svg", "-"});
    CHECK(unknown.exit_code == 2);
    CHECK(unknown.out.empty());
    CHECK(unknown.err.find("header") != std::string::npos);
    const Drawn unwritable =
        drawn({command, "header", "--config", file, "--svg", folder.file("no/such.svg")});
    CHECK(unwritable.exit_code == 2);
    CHECK(unwritable.err.find("cannot be written") != std::string::npos);
    for (const char* other : {"--csv", "--json"})
      CHECK(drawn({command, "header", "--config", file, "--svg", "-", other}).exit_code == 2);
  }
  CHECK(drawn({"chart", "header", "--config", file, "--svg", "-", "--step", "1 cm"}).exit_code == 2);
}
