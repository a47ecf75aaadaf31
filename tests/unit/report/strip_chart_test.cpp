#include "stillwell/report/strip_chart.hpp"

#include "stillwell/report/svg.hpp"

#include <regex>
#include <string>

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::report;

namespace {

const std::string kLongName(60, 'w');

StripChart chart() {
  StripChart chart{.title = "Hillside orchard, rehearsed for 60 min",
                   .subtitle = "Configuration CRC-32 12345678.",
                   .begins = Stamp{},
                   .lasts = kHour,
                   .tanks = {},
                   .states = {{.name = "lift on", .is_alarm = false, .course = {false, true, true, false}}}};
  StripTank header{.name = "Header tank", .full = Metres{2.0}, .marks = {}, .course = {}};
  header.marks = {{"lift starts 1.000 m", Metres{1.0}, false}, {"low alarm 0.300 m", Metres{0.3}, true}};
  header.course = {std::pair{Metres{0.5}, Metres{0.6}}, std::nullopt, std::pair{Metres{1.0}, Metres{1.0}},
                   std::pair{Metres{1.0}, Metres{1.2}}};
  chart.tanks.push_back(header);
  return chart;
}

/// The number of an attribute in the first match of what stands before it.
double number_after(const std::string& svg, const std::string& before) {
  std::smatch found;
  REQUIRE(std::regex_search(svg, found, std::regex{before + "([0-9.]+)\""}));
  return std::stod(found[1]);
}

std::size_t count_of(const std::string& svg, const std::string& what) {
  std::size_t count = 0;
  for (std::size_t at = svg.find(what); at != std::string::npos; at = svg.find(what, at + 1))
    ++count;
  return count;
}

}  // namespace

TEST_CASE("strip chart: what was not known leaves a gap, and what is so together is one bar",
          "[report][strip]") {
  const std::string svg = to_svg(chart());
  CHECK(svg == to_svg(chart()));
  CHECK(count_of(svg, "fill=\"#2f6f9f\"") == 2);  // two stretches of water
  CHECK(count_of(svg, "fill=\"#5b8c3e\"") == 1);  // one run
}

TEST_CASE("strip chart: the longest names have room beside the strip", "[report][strip]") {
  StripChart wide = chart();
  wide.states.front().name = kLongName;
  wide.tanks.front().marks.front().words = kLongName;
  const std::string svg = to_svg(wide);
  const double name_ends = number_after(svg, "<text x=\"") + svg::width_of(kLongName, {12.0, false});
  CHECK(number_after(svg, "<rect x=\"") > name_ends);  // the bar of its run
  std::smatch mark;
  REQUIRE(std::regex_search(svg, mark, std::regex{"<text x=\"([0-9.]+)\"[^>]*fill=\"#3b6e22\""}));
  CHECK(std::stod(mark[1]) + svg::width_of(kLongName, {12.0, false}) <
        number_after(svg, "<svg [^>]*width=\""));
}
