#include "stillwell/report/histogram.hpp"

#include "stillwell/report/canvas.hpp"

#include <algorithm>
#include <cmath>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::report;

namespace {

std::vector<Metres> in_order(std::vector<double> millimetres) {
  std::sort(millimetres.begin(), millimetres.end());
  std::vector<Metres> values;
  values.reserve(millimetres.size());
  for (const double value : millimetres)
    values.emplace_back(value / 1000.0);
  return values;
}

/// What stands behind the bar.
std::size_t count_in(const std::string& row) {
  return std::stoul(row.substr(row.rfind(' ')));
}

}  // namespace

TEST_CASE("histogram: counts of a sensor that counts in millimetres, a row each", "[report][histogram]") {
  const auto rows = histogram(in_order({1953, 1953, 1953, 1953, 1954, 1954, 1956}), {.columns = 40});
  REQUIRE(rows.size() == 4);
  CHECK(rows[0] == "     1.953 m " + std::string(25, '#') + " 4");
  CHECK(rows[1] == "     1.954 m " + std::string(12, '#') + " 2");
  CHECK(rows[2] == "     1.955 m  0");
  CHECK(rows[3] == "     1.956 m " + std::string(6, '#') + " 1");
}

TEST_CASE("histogram: readings that are all the same are one row, none are none", "[report][histogram]") {
  CHECK(histogram(in_order({1500, 1500, 1500}), {}).size() == 1);
  CHECK(histogram(in_order({1500}), {}).front().starts_with("     1.500 m #"));
  CHECK(histogram({}, {}).empty());
}

TEST_CASE("histogram: it counts every reading, in few rows that fit, whatever the spread",
          "[report][histogram][property]") {
  const std::uint64_t seed = support::seed_or(77);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 200; ++round) {
    const double half = std::pow(10.0, dice.between(-3.0, 4.0));
    std::vector<double> values;
    for (int n = 0; n <= dice.roll(200); ++n)
      values.push_back(20000.0 + dice.between(-half, half));
    const auto columns = std::size_t{40} + static_cast<std::size_t>(dice.roll(60));
    const bool unicode = dice.one_in(2);
    const auto rows = histogram(in_order(values), {.columns = columns, .unicode = unicode});
    std::size_t counted = 0;
    for (const std::string& row : rows) {
      INFO(row);
      CHECK(width_of(row) <= columns);
      if (!unicode) CHECK(std::all_of(row.begin(), row.end(), [](char c) { return c >= ' ' && c <= '~'; }));
      counted += count_in(row);
    }
    CHECK(rows.size() <= kMostBins);
    CHECK(counted == values.size());
  }
}
