// Cycles and working volumes against tests/reference/10_pump_wetwell.csv and 10_pump_volume_grid.csv. Rows
// marked `memory` were recalled, not seen, and are not checked.
#include "stillwell/pump/cycling.hpp"

#include <chrono>
#include <cmath>
#include <map>
#include <set>
#include <string>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

double number(const support::Csv& table, std::size_t row, const std::string& column) {
  return std::stod(table.at(row, column));
}

/// Half a unit of the last printed digit.
double printed_margin(const std::string& text) {
  const auto point = text.find('.');
  const auto decimals = point == std::string::npos ? 0 : text.size() - point - 1;
  return 0.5 * std::pow(10.0, -static_cast<double>(decimals)) + 1e-9;
}

/// A pump of 54 and one of 72 litres a second, as the sheet of examples 2a and 2b prints them.
const Cycle k2a = cycle_of(Litres{5700.0}, LitresPerSecond{54.0}, LitresPerSecond{13.15});
const Cycle k2b = cycle_of(Litres{7600.0}, LitresPerSecond{72.0}, LitresPerSecond{17.512});

double cubic_metres(Litres volume) {
  return volume.value() / kLitresPerCubicMetre;
}

/// What this program answers to the worked examples, by section and item, in the unit of the row.
const std::map<std::pair<std::string, std::string>, double> kAnswers{
    {{"worked example 1", "time between starts at <= 15 starts/h"},
     seconds_of(
         shortest_cycle(least_working_volume(LitresPerSecond{56.8}, Duration{1h} / 15), LitresPerSecond{56.8})
             .whole())},
    {{"worked example 1", "volume T Q / 4"}, least_working_volume(LitresPerSecond{56.8}, 240s).value()},
    {{"worked example 2a", "fill time"}, seconds_of(k2a.off)},
    {{"worked example 2a", "empty time"}, seconds_of(k2a.on)},
    {{"worked example 2a", "cycle time"}, seconds_of(k2a.whole())},
    {{"worked example 2b", "fill time"}, seconds_of(k2b.off)},
    {{"worked example 2b", "empty time"}, seconds_of(k2b.on)},
    {{"worked example 2b", "cycle time"}, seconds_of(k2b.whole())},
    {{"worked example 3", "volume T Q / 4"},
     cubic_metres(least_working_volume(LitresPerSecond{2000.0 / 60.0}, 10min))},
    {{"worked example 4", "volume T Q / 4"},
     cubic_metres(least_working_volume(LitresPerSecond{500.0 / 60.0}, 20min))},
};

/// Rows that ask nothing of these functions: recommendations without arithmetic, the contents of basins
/// (tests of tank/), drawdown tests, and the table of motors (motor_starts_test.cpp).
const std::set<std::string> kOtherSections{"minimum cycle time", "rule",
                                           "worked example 5",   "worked example 6",
                                           "worked example 8",   "worked example 9"};
const std::set<std::string> kOtherItems{"pump capacity Q = 2 x inflow", "depth in a 3 m well"};

/// The formula of MIL-HDBK-1005/9A as it is printed.
double printed_formula(double volume, double capacity, double inflow) {
  const double share = inflow / capacity;
  return volume / capacity * (1.0 / (1.0 - share) + 1.0 / share);
}

}  // namespace

TEST_CASE("cycling: the worked examples of wet wells are answered as printed", "[pump][reference]") {
  const support::Csv table{"10_pump_wetwell.csv"};
  std::size_t answered = 0;
  for (std::size_t row = 0; row < table.size(); ++row) {
    const std::string& section = table.at(row, "section");
    const std::string& item = table.at(row, "item");
    if (table.at(row, "status") != "published" || section == "formula") continue;
    INFO(section << ": " << item << " (" << table.at(row, "source") << ")");
    const auto answer = kAnswers.find({section, item});
    if (answer == kAnswers.end()) {
      CHECK((kOtherSections.contains(section) || kOtherItems.contains(item)));
      continue;
    }
    ++answered;
    const std::string& printed = table.at(row, "published_value");
    CHECK(answer->second == Approx(std::stod(printed)).margin(printed_margin(printed)));
    // The sheet of 2a and 2b prints rounded inputs.
    CHECK(answer->second == Approx(number(table, row, "own_value")).epsilon(5e-5));
  }
  CHECK(answered == kAnswers.size());
}

TEST_CASE("cycling: the published formulas agree at any inflow, and T·Q/4 is their least",
          "[pump][reference]") {
  // UFC 3-240-04A: V = t·q/4. MIL-HDBK-1005/9A, 2.5.3.6: t = (V/D)[1/(1−Q/D) + 1/(Q/D)].
  const LitresPerSecond pump{28.4};
  const Litres working{4260.0};
  const Duration least = shortest_cycle(working, pump).whole();
  CHECK(seconds_of(least) == Approx(4.0 * 4260.0 / 28.4));
  CHECK(least_working_volume(pump, least).value() == Approx(4260.0));
  for (const double share : {0.01, 0.2, 0.45, 0.5, 0.55, 0.8, 0.99}) {
    INFO(share);
    const Duration whole = cycle_of(working, pump, pump * share).whole();
    CHECK(seconds_of(whole) == Approx(printed_formula(4260.0, 28.4, 28.4 * share)));
    CHECK(whole >= least);
  }
}

TEST_CASE("cycling: every row of the grid of pumps and cycles", "[pump][reference]") {
  const support::Csv grid{"10_pump_volume_grid.csv"};
  REQUIRE(grid.size() == 48);
  for (std::size_t row = 0; row < grid.size(); ++row) {
    const LitresPerSecond pump{number(grid, row, "pump_capacity_L_per_s")};
    const Duration cycle{std::llround(number(grid, row, "min_cycle_min") * 60e9)};
    INFO("row " << row << " (" << grid.at(row, "source") << ")");
    const Litres least = least_working_volume(pump, cycle);
    CHECK(cubic_metres(least) == Approx(number(grid, row, "min_volume_m3_single_pump")).epsilon(1e-12));
    CHECK(3600.0 / seconds_of(shortest_cycle(least, pump).whole()) ==
          Approx(number(grid, row, "max_starts_per_hour")));
    // Of two that take turns each starts in every second cycle.
    const Litres shared{number(grid, row, "min_volume_m3_two_alternating") * kLitresPerCubicMetre};
    CHECK(2.0 * seconds_of(shortest_cycle(shared, pump).whole()) == Approx(seconds_of(cycle)));
  }
}
