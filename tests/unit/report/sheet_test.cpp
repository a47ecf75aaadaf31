// What prints a sheet: the terminal's text, the spreadsheet's lines, the picture.

#include "stillwell/config/checksum.hpp"
#include "stillwell/report/canvas.hpp"
#include "stillwell/report/csv.hpp"
#include "stillwell/report/sheet_svg.hpp"
#include "stillwell/report/sheet_text.hpp"
#include "stillwell/report/wrap.hpp"

#include <sstream>
#include <string>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using report::Grid;
using report::Sheet;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::istringstream stream{text};
  std::vector<std::string> lines;
  for (std::string line; std::getline(stream, line);)
    lines.push_back(line);
  return lines;
}

double cells(const report::Letter& letter) {
  return letter.width;
}

using Lines = std::vector<std::string>;

/// A grid of many columns whose cells are hard to fit, in a place with a hard name.
Sheet wide_sheet(int columns) {
  Grid grid{.title = "What a cause does <to> a pump & why", .head = {"cause"}, .rows = {}};
  for (int at = 0; at < columns; ++at)
    grid.head.push_back("pump-" + std::to_string(at));
  for (const std::string name : {"source-low", "a-cause-with-a-very-long-name/that-goes-on-and-on-and-on"}) {
    std::vector<report::Cell> row{{name, report::Tone::plain}};
    for (int at = 0; at < columns; ++at)
      row.push_back({"trips: WWWWWWWW below " + std::to_string(at) + " % (0.330 m) \"until\" " +
                         std::string(static_cast<std::size_t>(at) * 9, 'm'),
                     report::Tone::grave});
    grid.rows.push_back(std::move(row));
  }
  return {.title = "Obstgärtnerei <Süd> & Söhne 果樹園", .subtitle = "site.yaml", .grids = {grid}};
}

std::string checked(const std::string& svg) {
  const support::TemporaryDirectory directory;
  support::write_file(directory.file("sheet.svg"), svg);
  support::Process check{
      {"python3", support::source_dir() + "/tests/support/svg_check.py", directory.file("sheet.svg")}};
  REQUIRE(check.wait_exit());
  return check.out() + check.err();
}

}  // namespace

TEST_CASE("wrap: lines break between words and keep a number with its unit", "[report][sheet]") {
  CHECK(report::wrapped("cistern below 15 % (0.330 m)", 16, cells) ==
        Lines{"cistern below", "15 % (0.330 m)"});
  CHECK(report::wrapped("cistern below 15 % (0.330 m)", 12, cells) ==
        Lines{"cistern", "below 15 %", "(0.330 m)"});
  CHECK(report::wrapped("", 10, cells) == Lines{""});
  CHECK(report::wrapped("  two   words ", 20, cells) == Lines{"two words"});
}

TEST_CASE("wrap: a word that does not fit is broken, at a stroke where it has one", "[report][sheet]") {
  CHECK(report::wrapped("lift/contact-unreachable", 20, cells) == Lines{"lift/", "contact-unreachable"});
  CHECK(report::wrapped("abcdefghij", 4, cells) == Lines{"abcd", "efgh", "ij"});
  CHECK(report::wrapped("果樹園", 3, cells) == Lines{"果", "樹", "園"});
  CHECK(report::wrapped("果樹", 1, cells) == Lines{"果", "樹"});  // wider than the line by itself
}

TEST_CASE("text: no line is wider than the page, however many columns there are", "[report][sheet]") {
  for (const int columns : {1, 2, 3, 5, 12, 40}) {
    const std::string text = report::to_columns(wide_sheet(columns), 100);
    INFO(text);
    for (const std::string& line : lines_of(text))
      CHECK(report::width_of(line) <= 100);
    for (int at = 0; at < columns; ++at)
      CHECK(text.find("pump-" + std::to_string(at)) != std::string::npos);
  }
}

TEST_CASE("text: a grid that goes on below itself repeats the names of its rows", "[report][sheet]") {
  const auto lines = lines_of(report::to_columns(wide_sheet(12), 100));
  const auto heads = std::count_if(lines.begin(), lines.end(),
                                   [](const std::string& line) { return line.starts_with("cause "); });
  const auto rows = std::count_if(lines.begin(), lines.end(),
                                  [](const std::string& line) { return line.starts_with("source-low "); });
  CHECK(heads > 1);
  CHECK(rows == heads);
}

TEST_CASE("csv: what is printed reads back as what it was, with a reader that is not ours",
          "[report][sheet]") {
  const std::vector<std::string> fields{"plain", "a, b", "say \"no\"", "two\r\nlines", "", " blank ", "Süd"};
  Grid grid{.title = {}, .head = fields, .rows = {}};
  std::vector<report::Cell> row;
  for (auto field = fields.rbegin(); field != fields.rend(); ++field)
    row.push_back({*field, report::Tone::plain});
  grid.rows = {row};
  const support::TemporaryDirectory directory;
  support::write_file(directory.file("grid.csv"), report::to_csv(grid));
  support::Process reader{{"python3", "-c",
                           "import csv, json, sys\n"
                           "print(json.dumps(list(csv.reader(open(sys.argv[1], newline='', encoding='utf-8'),"
                           " strict=True))))",
                           directory.file("grid.csv")}};
  REQUIRE(reader.wait_exit() == 0);
  const auto read = nlohmann::json::parse(reader.out(), nullptr, false);
  REQUIRE(read.size() == 2);
  CHECK(read[0] == nlohmann::json(fields));
  CHECK(read[1] == nlohmann::json(std::vector<std::string>(fields.rbegin(), fields.rend())));
}

TEST_CASE("csv: lines end as RFC 4180 says, and only what needs quotes has them", "[report][sheet]") {
  CHECK(report::csv_line({"a", "b c", "d,e", "f\"g"}) == "a,b c,\"d,e\",\"f\"\"g\"");
  CHECK(report::to_csv({.title = {}, .head = {"a", "b"}, .rows = {{{"1"}, {"2"}}}}) == "a,b\r\n1,2\r\n");
}

TEST_CASE("svg: a sheet is well-formed, and no two texts of it touch", "[report][sheet]") {
  for (const int columns : {1, 3, 12}) {
    const std::string svg = report::to_svg(wide_sheet(columns));
    CHECK(checked(svg).starts_with("well "));
    CHECK(svg == report::to_svg(wide_sheet(columns)));
  }
}

TEST_CASE("svg: the look at the picture finds texts that touch", "[report][sheet]") {
  const std::string head =
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200\" height=\"60\" font-family=\"sans-serif\">"
      "<rect width=\"200\" height=\"60\" fill=\"#fff\"/>";
  const auto text = [](int x, int y) {
    return "<text x=\"" + std::to_string(x) + "\" y=\"" + std::to_string(y) +
           "\" font-size=\"13\" font-weight=\"normal\">water</text>";
  };
  CHECK(checked(head + text(10, 20) + text(10, 40) + "</svg>").starts_with("well "));
  CHECK(checked(head + text(10, 20) + text(30, 24) + "</svg>").find("overlap") != std::string::npos);
  CHECK(checked(head + text(190, 20) + "</svg>").find("outside") != std::string::npos);
  CHECK(checked(head + text(10, 20)).find("ParseError") != std::string::npos);
}

TEST_CASE("checksum: the check value of CRC-32", "[report][sheet]") {
  // The check value of the catalogue of parametrised CRC algorithms (CRC-32/ISO-HDLC); also what gzip stores.
  CHECK(config::crc_32("123456789") == 0xCBF43926);
  CHECK(config::checksum_text("123456789") == "cbf43926");
  CHECK(config::checksum_text("") == "00000000");
}
