// Strapping tables as text: what people and spreadsheets write, and a line number for what cannot be read.

#include "stillwell/tank/strapping_file.hpp"

#include <string>

#include "support/bench_seed.hpp"
#include "support/shape_bench.hpp"

using namespace stillwell;

namespace {

std::vector<StrapPoint> read(const std::string& text) {
  const auto points = parse_strapping(text);
  INFO((points.ok() ? "" : points.error()));
  REQUIRE(points.ok());
  return *points;
}

void refused(const std::string& text, const std::string& words) {
  const auto points = parse_strapping(text);
  INFO(text);
  REQUIRE_FALSE(points.ok());
  INFO(points.error());
  CHECK(points.error().find(words) != std::string::npos);
}

}  // namespace

TEST_CASE("strapping file: bare numbers under a header that names their units", "[tank][strapping]") {
  const auto points = read("level_m,volume_l\n0,0\n0.1,180\n1.25,3.5e3\n");
  REQUIRE(points.size() == 3);
  CHECK(points[1].depth == Metres{0.1});
  CHECK(points[1].volume == Litres{180.0});
  CHECK(points[2].volume == Litres{3500.0});
}

TEST_CASE("strapping file: cells that carry their units", "[tank][strapping]") {
  const auto points = read("level, volume\n0 cm, 0 L\n10 cm, 180 L\n1.5m,3.2 m3\n");
  REQUIRE(points.size() == 3);
  CHECK(points[1].depth.value() == Approx(0.1));
  CHECK(points[2].depth == Metres{1.5});
  CHECK(points[2].volume == Litres{3200.0});
}

TEST_CASE("strapping file: what spreadsheets add is no matter", "[tank][strapping]") {
  CHECK(read("\xEF\xBB\xBFlevel_m,volume_l\r\n0,0\r\n0.1,180\r\n").size() == 2);
  CHECK(read("\n# measured in May\nlevel_m,volume_l\n\n0,0\n# the heel\n0.1,180").size() == 2);
  CHECK(read("level_m,volume_l,usable_l,ullage_l,percent\n0,0,0,900,0\n0.1,180,100,720,20\n").size() == 2);
  CHECK(read("level_m,volume_l\n").empty());
}

TEST_CASE("strapping file: what cannot be read is named by its line", "[tank][strapping]") {
  refused("", "line 1: the table is empty; expected level_m,volume_l or level,volume");
  refused("0,0\n0.1,180\n", "line 1: '0,0' is no header");
  refused("volume_l,level_m\n", "line 1");
  refused("level_m;volume_l\n0;0\n", "line 1: 'level_m;volume_l' is no header");
  refused("level_m,volume_l\n0,0\n0.1\n", "line 3: '0.1' is no pair");
  refused("level_m,volume_l\n\n# a remark\n0;1\n", "line 4: '0;1' is no pair");
  refused("level_m,volume_l\n0,0\n0.1,\n", "line 3: '' is not a number");
  refused("level_m,volume_l\n0,0\n10 cm,180\n", "line 3: '10 cm' is not a number");
  refused("level_m,volume_l\n0,0\nnan,180\n", "line 3");
  refused("level_m,volume_l\n0,0\n0.1,1e999\n", "line 3");
  refused("level,volume\n0 cm,0 L\n10,180 L\n", "line 3: '10' has no unit");
  refused("level,volume\n0 cm,0 L\n10 L,180 L\n", "line 3: 'L' is not a unit for this");
  refused("level_m,volume_l\n" + std::string(201, '1') + ",2\n", "line 2: longer than 200 characters");
}

TEST_CASE("strapping file: a table without end is refused", "[tank][strapping]") {
  std::string text = "level_m,volume_l\n";
  for (int i = 0; i < 10'000; ++i)
    text += std::to_string(i) + "," + std::to_string(i) + "\n";
  CHECK(read(text).size() == 10'000);
  refused(text + "10000,10000\n", "line 10002: more than 10000 points");
}

TEST_CASE("strapping file: any bytes are either read or refused", "[tank][strapping][property]") {
  const auto seed = support::seed_or(77);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  const std::string letters = "0123456789.,-+e \r\n#cmL3lv\"\xEF";
  int read_tables = 0;
  for (int round = 0; round < 20'000; ++round) {
    std::string text = dice.one_in(4) ? "" : "level_m,volume_l\n";
    for (int i = dice.roll(24); i > 0; --i)
      text += letters[static_cast<std::size_t>(dice.roll(static_cast<int>(letters.size())))];
    const auto points = parse_strapping(text);
    if (points.ok()) {
      ++read_tables;
    } else {
      CHECK(points.error().starts_with("line "));
    }
  }
  CHECK(read_tables > 0);
}
