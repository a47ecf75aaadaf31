// The monotone cubic against scipy 1.10.1's PchipInterpolator: tests/reference/05_pchip_interpolation.csv.

#include "stillwell/tank/pchip.hpp"

#include <map>
#include <vector>

#include "support/shape_bench.hpp"

using namespace stillwell;
using support::number;

namespace {

std::map<std::string, std::vector<Pchip::Knot>> knots_of(const support::Csv& table) {
  std::map<std::string, std::vector<Pchip::Knot>> knots;
  for (std::size_t row = 0; row < table.size(); ++row) {
    if (table.at(row, "row") == "node")
      knots[table.at(row, "table")].push_back(
          {.x = number(table, row, "x_depth_m"), .y = number(table, row, "scipy_pchip_value")});
  }
  return knots;
}

}  // namespace

TEST_CASE("pchip: values and slopes are scipy's, to 1e-12", "[tank][published]") {
  const support::Csv table{"05_pchip_interpolation.csv"};
  const auto knots = knots_of(table);
  REQUIRE(knots.size() == 3);
  REQUIRE(table.size() == 186);
  for (std::size_t row = 0; row < table.size(); ++row) {
    const auto& own = knots.at(table.at(row, "table"));
    const Pchip curve{own};
    const double x = number(table, row, "x_depth_m");
    const double value = number(table, row, "scipy_pchip_value");
    INFO(table.at(row, "table") << ", " << table.at(row, "row") << " at " << x);
    CHECK(std::abs(curve.value(x) - value) <= 1e-12 * value);
    // scipy takes its slope from the expanded cubic, which leaves it a few last bits of the steepest.
    CHECK(std::abs(curve.slope(x) - number(table, row, "scipy_pchip_derivative")) <= 1e-12 * 10.0);
  }
}

TEST_CASE("pchip: two points make a straight line", "[tank][pchip]") {
  const Pchip line{{{.x = 1.0, .y = 2.0}, {.x = 3.0, .y = 6.0}}};
  CHECK(line.value(1.0) == 2.0);
  CHECK(line.value(1.5) == Approx(3.0));
  CHECK(line.value(3.0) == 6.0);
  CHECK(line.slope(2.0) == Approx(2.0));
}

TEST_CASE("pchip: outside its ends it stays at the ends", "[tank][pchip]") {
  const Pchip curve{{{.x = 1.0, .y = 2.0}, {.x = 3.0, .y = 6.0}, {.x = 4.0, .y = 7.0}}};
  CHECK(curve.value(-5.0) == 2.0);
  CHECK(curve.value(9.0) == 7.0);
  CHECK(std::isnan(curve.value(std::nan(""))));
}
