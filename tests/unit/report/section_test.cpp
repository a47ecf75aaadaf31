// What stands at which height of a tank, and the parts of a drawing to scale.

#include "stillwell/report/section.hpp"

#include "stillwell/config/configuration.hpp"
#include "stillwell/report/chart_svg.hpp"
#include "stillwell/report/drafting.hpp"
#include "stillwell/report/section_svg.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/places.hpp"

using namespace stillwell;
using Catch::Matchers::WithinAbs;
using report::SectionRow;

namespace {

Model model_of(const std::string& file) {
  auto loaded = config::load(support::source_dir() + "/config/" + file);
  REQUIRE(loaded.configuration);
  return std::move(loaded.configuration->model);
}

TankIndex index_of(const Model& model, const std::string& id) {
  const auto found = std::ranges::find(model.tanks, id, &Tank::id);
  REQUIRE(found != model.tanks.end());
  return {static_cast<std::size_t>(found - model.tanks.begin())};
}

/// "kind of height until" of every row, heights to a tenth of a millimetre.
std::vector<std::string> told(const std::vector<SectionRow>& rows) {
  std::vector<std::string> lines;
  lines.reserve(rows.size());
  for (const SectionRow& row : rows)
    lines.push_back(std::string(to_word(row.kind)) + (row.of.empty() ? "" : " " + row.of) +
                    (row.height ? " " + fixed(row.height->value(), 4) : "") +
                    (row.until ? " " + fixed(row.until->value(), 4) : ""));
  return lines;
}

std::vector<std::string> told_of(const std::string& file, const std::string& tank) {
  const Model model = model_of(file);
  return told(report::section_rows(model, index_of(model, tank)));
}

}  // namespace

TEST_CASE("section: the header of the orchard, from the top down", "[report][section]") {
  // to_floor 2.85 m, to_full 40 cm: the full line is at 2.45 m, and a percent is 24.5 mm.
  CHECK(told_of("orchard.yaml", "header") ==
        std::vector<std::string>{"sensor header-top 2.8500", "blanking header-top 2.6000 2.8500",
                                 "full 2.4500", "alarm header/high-high 2.3765 2.3275",
                                 "high-trip lift 2.3520 2.2540", "stop lift 2.2540", "start lift 1.1025",
                                 "alarm header/low 0.3675 0.4900", "alarm header/low-low 0.1960 0.3185",
                                 "unusable 0.1000", "floor 0.0000", "float header-float"});
}

TEST_CASE("section: a tank that one pump fills and another empties shows both, and a float at its height",
          "[report][section]") {
  const auto lines = told_of("orchard.yaml", "cistern");
  for (const char* line : {"start bore 0.8800", "stop bore 1.5400", "source-trip lift 0.3300 0.5500",
                           "float cistern-float 0.2200", "sensor cistern-top 2.7000"}) {
    INFO(line);
    CHECK(std::ranges::count(lines, line) == 1);
  }
  CHECK(std::ranges::count(told_of("orchard.yaml", "bore-well"), "sensor bore-depth 1.0000") == 1);
}

TEST_CASE("section: pumps of a set have their levels once, in its name", "[report][section]") {
  const auto lines = told_of("packing-shed.yaml", "sump");
  for (const char* line : {"start drains 0.7200", "second-start drains 0.9000", "stop drains 0.2400",
                           "source-trip drain-a 0.1440 0.2400", "source-trip drain-b 0.1440 0.2400"}) {
    INFO(line);
    CHECK(std::ranges::count(lines, line) == 1);
  }
}

TEST_CASE("section: floats alone stand in their order, and have no height", "[report][section]") {
  CHECK(told_of("sump-by-floats.yaml", "sump") ==
        std::vector<std::string>{"float sump-high", "start sump-start", "stop sump-stop"});
}

TEST_CASE("section: a gauge over a tilted floor is told from the lowest point inside", "[report][section]") {
  const Model model = model_of("rain-tank.yaml");
  const auto rows = report::section_rows(model, {0});
  const auto at = [&](report::SectionKind kind) {
    return std::ranges::find(rows, kind, &SectionRow::kind)->height->value();
  };
  const double floor = at(report::SectionKind::gauge_floor);
  CHECK(floor > 0.005);
  CHECK_THAT(at(report::SectionKind::sensor), WithinAbs(2.40 + floor, 1e-9));
  CHECK_THAT(at(report::SectionKind::full), WithinAbs(2.40 - 0.55 + floor, 1e-9));
  CHECK(at(report::SectionKind::top) > at(report::SectionKind::full));
}

TEST_CASE("section: the same configuration gives the same bytes", "[report][section]") {
  const Model one = model_of("orchard.yaml");
  const Model two = model_of("orchard.yaml");
  for (std::size_t at = 0; at < one.tanks.size(); ++at) {
    CHECK(report::section_svg(one, {at}, "x") == report::section_svg(two, {at}, "x"));
    CHECK(report::chart_svg(one.tanks[at], "s", "x") == report::chart_svg(two.tanks[at], "s", "x"));
  }
}

TEST_CASE("drafting: scales and steps are 1, 2 or 5 times a power of ten, the first that fits",
          "[report][drafting]") {
  using report::draft::round_step;
  CHECK_THAT(round_step(0.03), WithinAbs(0.05, 1e-12));
  CHECK_THAT(round_step(1.0), WithinAbs(1.0, 1e-12));
  CHECK_THAT(round_step(1.1), WithinAbs(2.0, 1e-12));
  CHECK_THAT(round_step(5.1), WithinAbs(10.0, 1e-12));
  // 2.85 m in 560 px of 1/96 inch, 148 mm: 1 : 19.2 would just fit.
  CHECK_THAT(report::draft::scale_for(Metres{2.85}, 560.0), WithinAbs(20.0, 1e-9));
  CHECK_THAT(report::draft::pixels_per_metre(20.0) * 2.54, WithinAbs(480.0, 1e-9));
}

TEST_CASE("drafting: dimensions in one column do not touch", "[report][drafting]") {
  const std::vector<report::draft::Dimension> all{{100, 500, "a"}, {100, 180, "b"}, {150, 160, "c"},
                                                  {400, 500, "d"}, {180, 400, "e"}, {490, 500, "f"}};
  const auto columns = report::draft::columns_for(all);
  REQUIRE(columns.size() == all.size());
  for (std::size_t a = 0; a < all.size(); ++a) {
    for (std::size_t b = a + 1; b < all.size(); ++b) {
      if (columns[a] != columns[b]) continue;
      const auto [top, bottom] = taken_by(all[a]);
      const auto [other_top, other_bottom] = taken_by(all[b]);
      CHECK((bottom <= other_top || other_bottom <= top));
    }
  }
  CHECK(columns[0] == *std::ranges::max_element(columns));
}

TEST_CASE("chart board: its lines are round, and far enough apart for their figures", "[report][chart]") {
  for (double full = 0.05; full < 60.0; full *= 1.07) {
    const auto [major, minor] = report::board_steps(Metres{full}, 640.0);
    INFO(full << " m, a figure every " << major.value() << " m");
    CHECK(major / Metres{full} * 640.0 >= 21.9);
    CHECK(major / Metres{full} * 640.0 <= 22.0 * 2.5 + 0.1);
    const double lines = major / minor;
    CHECK_THAT(lines, WithinAbs(std::round(lines), 1e-9));
  }
}
