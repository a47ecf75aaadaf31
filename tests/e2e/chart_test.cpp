// The real program on real files: the dip chart of every shape against the integrated table, and what the
// command refuses.
#include <array>
#include <charconv>
#include <cmath>
#include <map>
#include <sstream>

#include "support/bench_csv.hpp"
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

double number(const std::string& text) {
  double value = std::nan("");
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} && end == text.data() + text.size() ? value : std::nan("");
}

std::vector<std::string> lines_of(const std::string& text) {
  std::istringstream stream{text};
  std::vector<std::string> lines;
  for (std::string line; std::getline(stream, line);)
    lines.push_back(line);
  return lines;
}

/// What `holds` says for every shape of tests/reference/04_shapes_depth_volume.csv, by its name there, with
/// the dimensions of its rows.
const std::map<std::string, std::string> kHolds{
    {"vertical cylinder, flat bottom", "shape: vertical-cylinder, diameter: 2 m"},
    {"vertical cylinder, conical bottom",
     "shape: vertical-cylinder, diameter: 2 m, bottom: { kind: conical, depth: 0.8 m }"},
    {"vertical cylinder, 2:1 ellipsoidal bottom",
     "shape: vertical-cylinder, diameter: 2 m, bottom: ellipsoidal"},
    {"vertical cylinder, hemispherical bottom",
     "shape: vertical-cylinder, diameter: 2 m, bottom: hemispherical"},
    {"vertical cylinder, dished (spherical cap) bottom",
     "shape: vertical-cylinder, diameter: 2 m, bottom: { kind: dished, depth: 30 cm }"},
    {"vertical cylinder, DIN 28011 torispherical (f=1, k=0.1) bottom",
     "shape: vertical-cylinder, diameter: 2 m, bottom: { kind: torispherical, crown: 1, knuckle: 0.1 }"},
    {"vertical cylinder, DIN 28013 torispherical (f=0.8, k=0.154) bottom",
     "shape: vertical-cylinder, diameter: 2 m, bottom: { kind: torispherical, crown: 0.8, knuckle: 0.154 }"},
    {"vertical cylinder, ASME F&D torispherical (f=1, k=0.06) bottom",
     "shape: vertical-cylinder, diameter: 2 m, bottom: { kind: torispherical, crown: 1.0, knuckle: 0.06 }"},
    {"sphere", "shape: sphere, diameter: 3 m"},
    {"spherical cap (dish), sphere radius 2.5 m", "shape: sphere, diameter: 5 m"},
    {"horizontal cylinder, flat ends", "shape: horizontal-cylinder, diameter: 2 m, length: 4 m"},
    {"horizontal elliptical cylinder, flat ends (wider than high)",
     "shape: horizontal-oval, width: 2.4 m, height: 1.6 m, length: 4 m"},
    {"horizontal elliptical cylinder, flat ends (higher than wide)",
     "shape: horizontal-oval, width: 1.6 m, height: 2.4 m, length: 4 m"},
    {"horizontal stadium (obround), long axis horizontal, flat ends",
     "shape: horizontal-obround, width: 2.4 m, height: 1.6 m, length: 4 m"},
    {"horizontal stadium (obround), long axis vertical, flat ends",
     "shape: horizontal-obround, width: 1.6 m, height: 2.4 m, length: 4 m"},
    {"horizontal cylinder, two 2:1 ellipsoidal heads",
     "shape: horizontal-cylinder, diameter: 2 m, length: 4 m, heads: ellipsoidal"},
    {"horizontal cylinder, two hemispherical heads",
     "shape: horizontal-cylinder, diameter: 2 m, length: 4 m, heads: hemispherical"},
    {"horizontal cylinder, two conical heads",
     "shape: horizontal-cylinder, diameter: 2 m, length: 4 m, heads: { kind: conical, depth: 60 cm }"},
    {"horizontal cylinder, two dished (spherical cap) heads",
     "shape: horizontal-cylinder, diameter: 2 m, length: 4 m, heads: { kind: dished, depth: 300 mm }"},
    {"horizontal cylinder, two DIN 28011 torispherical heads",
     "shape: horizontal-cylinder, diameter: 2 m, length: 4 m, heads: { kind: torispherical, crown: 1, "
     "knuckle: 0.1 }"},
    {"horizontal cylinder, two DIN 28013 torispherical heads",
     "shape: horizontal-cylinder, diameter: 2 m, length: 4 m, heads: { kind: torispherical, crown: 0.8, "
     "knuckle: 0.154 }"},
    {"horizontal cylinder, two ASME F&D torispherical heads",
     "shape: horizontal-cylinder, diameter: 2 m, length: 4 m, heads: { kind: torispherical, crown: 1, "
     "knuckle: 0.06 }"},
    {"frustum of a cone, wide end up", "shape: frustum, bottom: 1.2 m, top: 2 m, height: 2.5 m"},
    {"frustum of a cone, narrow end up", "shape: frustum, bottom: 2 m, top: 1.2 m, height: 2.5 m"},
    {"rectangular", "shape: rectangular, length: 2 m, width: 1.5 m"},
    {"rectangular frustum (prismatoid), wide end up",
     "shape: rectangular-frustum, bottom: [1.0 m, 0.6 m], top: [2.2 m, 1.4 m], height: 1.5 m"},
};

/// A site of one tank whose depth gauge lies on the floor.
std::string site_of(const std::string& holds, const std::string& full) {
  return "site: { id: one }\n"
         "lines: { shed: { port: /dev/ttyUSB0, speed: 9600 8N1, carries: modbus } }\n"
         "gauges:\n"
         "  floor: { line: shed, station: 1, depth: { table: input, address: 0, as: u16, unit: mm } }\n"
         "tanks:\n"
         "  t: { gauge: floor, full: " +
         full + " m, holds: { " + holds + " } }\n";
}

struct Row {
  std::string depth;  ///< as the table writes it
  double litres = 0.0;
};

/// Level and volume of every row of a chart in CSV.
std::vector<std::pair<double, double>> levels_and_volumes(const std::vector<std::string>& lines) {
  std::vector<std::pair<double, double>> rows;
  for (std::size_t i = 1; i < lines.size(); ++i) {
    const auto cells = support::split_csv(lines[i]);
    REQUIRE(cells.size() == 5);
    rows.emplace_back(number(cells[0]), number(cells[1]));
  }
  return rows;
}

/// Charts one shape at the depths of the table in one run of the program.
void compare(const std::string& name, const std::vector<Row>& rows,
             const support::TemporaryDirectory& directory) {
  INFO(name);
  std::string levels = "level_m\n";
  for (const Row& row : rows)
    levels += row.depth + "\n";
  support::write_file(directory.file("levels.csv"), levels);
  support::write_file(directory.file("site.yaml"), site_of(kHolds.at(name), rows.back().depth));
  const Run run = stillwell(
      {"chart", "t", "--config", directory.file("site.yaml"), "--at", directory.file("levels.csv"), "--csv"});
  INFO(run.err);
  REQUIRE(run.exit_code == 0);
  CHECK(run.err.empty());
  const auto lines = lines_of(run.out);
  REQUIRE(lines.size() == rows.size() + 1);
  CHECK(lines[0] == "level_m,volume_l,usable_l,ullage_l,percent");
  const auto charted = levels_and_volumes(lines);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    INFO("depth " << rows[i].depth);
    CHECK(charted[i].first == number(rows[i].depth));
    CHECK(std::abs(charted[i].second - rows[i].litres) <= 1e-9 * rows.back().litres);
  }
}

const std::string kRainTank = support::source_dir() + "/config/rain-tank.yaml";

}  // namespace

TEST_CASE("chart: all 26 shapes agree with the integrated table to 1e-9 of full volume",
          "[e2e][chart][published]") {
  // tests/reference/04_shapes_depth_volume.csv, integrated with 40 digits, as its source columns say.
  const support::Csv table{"04_shapes_depth_volume.csv"};
  std::map<std::string, std::vector<Row>> shapes;
  for (std::size_t row = 0; row < table.size(); ++row) {
    shapes[table.at(row, "shape")].push_back(
        {table.at(row, "depth_m"), 1000.0 * number(table.at(row, "volume_m3"))});
  }
  REQUIRE(shapes.size() == 26);
  REQUIRE(kHolds.size() == 26);
  const support::TemporaryDirectory directory;
  for (const auto& [name, rows] : shapes) {
    REQUIRE(rows.size() == 21);
    compare(name, rows, directory);
  }
}

TEST_CASE("chart: steps lead from the floor to the full line, both included", "[e2e][chart]") {
  const support::TemporaryDirectory directory;
  const std::string file = directory.file("site.yaml");
  support::write_file(file, site_of("shape: rectangular, length: 2 m, width: 1.5 m", "1.235"));
  const auto by_default = lines_of(stillwell({"chart", "t", "--config", file, "--csv"}).out);
  REQUIRE(by_default.size() == 1 + 124 + 1);
  CHECK(by_default[1] == "0,0,0,3705,0");
  CHECK(by_default[30].starts_with("0.29,"));  // not 0.29000000000000004
  CHECK(by_default[125] == "1.235,3705,3705,0,100");
  const auto coarse = lines_of(stillwell({"chart", "t", "--config", file, "--csv", "--step", "50 cm"}).out);
  REQUIRE(coarse.size() == 1 + 4);
  CHECK(coarse[3].starts_with("1,3000,3000,705,"));
  CHECK(coarse[4].starts_with("1.235,"));
}

TEST_CASE("chart: every number reads back to what the others were made of", "[e2e][chart]") {
  const Run run = stillwell({"chart", "rain", "--config", kRainTank, "--csv"});
  REQUIRE(run.exit_code == 0);
  const auto lines = lines_of(run.out);
  REQUIRE(lines.size() > 180);
  std::vector<std::array<double, 5>> rows;
  for (std::size_t i = 1; i < lines.size(); ++i) {
    const auto cells = support::split_csv(lines[i]);
    REQUIRE(cells.size() == 5);
    std::array<double, 5> row{};
    for (std::size_t c = 0; c < 5; ++c)
      row.at(c) = number(cells[c]);
    rows.push_back(row);
  }
  const double capacity = rows.back()[1];
  const double below_outlet = rows.at(10)[1];  // unusable: 10 cm
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const auto& [level, volume, usable, ullage, percent] = rows[i];
    INFO("level " << level);
    CHECK((i == 0 || (level > rows[i - 1][0] && volume > rows[i - 1][1])));
    CHECK(usable == std::max(volume - below_outlet, 0.0));
    CHECK(ullage == capacity - volume);
    CHECK(percent == Approx(100.0 * volume / capacity));  // by: volume
  }
}

TEST_CASE("chart: for people it is a table, with --json a document", "[e2e][chart]") {
  const Run text = stillwell({"chart", "rain", "--config", kRainTank, "--step", "50 cm"});
  CHECK(text.exit_code == 0);
  const auto lines = lines_of(text.out);
  REQUIRE(lines.size() == 2 + 5);
  CHECK(lines[0].find("percent by volume") != std::string::npos);
  CHECK(lines[1] == "       level      volume      usable      ullage     percent");
  CHECK(lines[2].starts_with("     0.000 m"));
  CHECK(lines.back().ends_with("     100.0 %"));

  const Run run = stillwell({"chart", "rain", "--config", kRainTank, "--step", "50 cm", "--json"});
  CHECK(run.exit_code == 0);
  const auto json = nlohmann::json::parse(run.out, nullptr, false);
  REQUIRE_FALSE(json.is_discarded());
  CHECK(json.at("tank") == "rain");
  CHECK(json.at("percent_by") == "volume");
  REQUIRE(json.at("chart").size() == 5);
  CHECK(json["chart"][4].at("level_m") == json.at("full_m").get<double>());
  CHECK(json["chart"][4].at("volume_l") == json.at("capacity_l"));
  CHECK(json["chart"][4].at("ullage_l") == 0.0);
}

TEST_CASE("chart: levels in a file are bare metres below level_m, and lengths with units otherwise",
          "[e2e][chart]") {
  const support::TemporaryDirectory directory;
  const std::string file = directory.file("site.yaml");
  support::write_file(file, site_of("shape: rectangular, length: 2 m, width: 1 m", "1.5"));
  const auto levels = [&](const std::string& text) {
    support::write_file(directory.file("at"), text);
    const Run run = stillwell({"chart", "t", "--config", file, "--csv", "--at", directory.file("at")});
    INFO(run.err);
    REQUIRE(run.exit_code == 0);
    std::string all;
    for (const auto& [level, volume] : levels_and_volumes(lines_of(run.out)))
      all += std::to_string(std::lround(level * 1000)) + " ";
    return all;
  };
  CHECK(levels("level_m,volume_l\n0.5,9\n1.5,9\n0.25") == "500 1500 250 ");
  CHECK(levels("25 cm\r\n\r\n# noon\n1 m, at noon\n") == "250 1000 ");
  CHECK(levels("\xEF\xBB\xBFlevel\n5 mm\n") == "5 ");
}

TEST_CASE("chart: what is wrong exits 2, says where, and prints nothing else", "[e2e][chart]") {
  const support::TemporaryDirectory directory;
  const std::string file = directory.file("site.yaml");
  support::write_file(file, support::kConfigBase);
  const auto told = [&](std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), {"chart", "--config", file});
    const Run run = stillwell(arguments);
    CHECK(run.exit_code == 2);
    CHECK(run.out.empty());
    return run.err;
  };
  const auto told_at = [&](const std::string& text) {
    support::write_file(directory.file("at"), text);
    return told({"header", "--at", directory.file("at")});
  };
  const auto says = [](const std::string& text, const std::string& part) {
    INFO(text);
    CHECK(text.find(part) != std::string::npos);
  };
  says(told({"haeder"}), "there is no tank 'haeder'; did you mean 'header'?");
  says(told({}), "TANK is required");
  says(told({"header", "--step", "1"}), "--step: '1' has no unit");
  says(told({"header", "--step", "0 cm"}), "--step: the step must be more than 0 m");
  says(told({"header", "--step", "0.001 mm"}), "at most 100000");
  says(told({"header", "--step", "1 cm", "--at", "x"}), "excludes");
  says(told({"header", "--csv", "--json"}), "excludes");
  says(told({"header", "--at", directory.file("none")}), "none: there is no such file");
  says(told_at(""), "at: holds no level");
  says(told_at("level_m\n0.1\n25 cm\n"), "at: line 3: '25 cm' is not a number");
  says(told_at("0.1\n"), "at: line 1: '0.1' has no unit");
  says(told_at("1 m\n2.46 m\n"), "at: line 2: '2.46 m' is outside the tank; expected 0 m to 2.45 m");
  says(told_at("level_m\n-0.1\n"), "at: line 2: '-0.1' is outside the tank");
  says(told_at("level_m\nnan\n"), "at: line 2: 'nan'");

  support::write_file(file, support::base_with("to_full: 0.40 m", "to_full: 0.40"));
  says(told({"header"}), file + ":33:14: tanks.header.to_full: '0.40' has no unit");
}

TEST_CASE("chart: a tank that is kept by floats has none, and is told so", "[e2e][chart]") {
  const Run run =
      stillwell({"chart", "--config", support::source_dir() + "/config/sump-by-floats.yaml", "sump"});
  CHECK(run.exit_code == 2);
  CHECK(run.out.empty());
  CHECK(run.err.find("tank 'sump' is kept by floats: nobody measures its level") != std::string::npos);
}
