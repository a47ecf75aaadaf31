// A measured table: through its own points, monotone between, silent beyond, and refused when it contradicts
// itself.

#include "stillwell/tank/strapping.hpp"

#include <limits>

#include "support/shape_bench.hpp"

using namespace stillwell;
using support::made;

namespace {

StrapPoint point(double metres, double litres) {
  return {.depth = Metres{metres}, .volume = Litres{litres}};
}

void refused(const Result<ShapePtr>& result, const std::string& words) {
  REQUIRE_FALSE(result.ok());
  INFO(result.error());
  CHECK(result.error().find(words) != std::string::npos);
}

}  // namespace

TEST_CASE("strapping: goes through every point of the reference tables and back", "[tank][strapping]") {
  const support::Csv table{"05_pchip_interpolation.csv"};
  std::vector<StrapPoint> points;
  std::string name;
  int tables = 0;
  const auto check = [&] {
    const ShapePtr shape = made(strapping(points));
    ++tables;
    for (const StrapPoint& knot : points) {
      CHECK(shape->volume(knot.depth).value() == Approx(knot.volume.value()).epsilon(1e-14));
      CHECK(support::finds_again(*shape, knot.depth.value(), points.back().depth.value()));
    }
    for (int i = 0; i <= 300; ++i)
      CHECK(
          support::finds_again(*shape, points.back().depth.value() * i / 300.0, points.back().depth.value()));
  };
  for (std::size_t row = 0; row < table.size(); ++row) {
    if (table.at(row, "row") != "node") continue;
    if (table.at(row, "table") != name && !points.empty()) {
      check();
      points.clear();
    }
    name = table.at(row, "table");
    points.push_back(point(support::number(table, row, "x_depth_m"),
                           1000.0 * support::number(table, row, "scipy_pchip_value")));
  }
  check();
  CHECK(tables == 3);
}

TEST_CASE("strapping: says nothing beyond its ends", "[tank][strapping]") {
  const ShapePtr shape = made(strapping({point(0.1, 180.0), point(0.5, 900.0), point(1.0, 2000.0)}));
  CHECK(shape->volume(Metres{-1.0}) == Litres{180.0});
  CHECK(shape->volume(Metres{0.05}) == Litres{180.0});
  CHECK(shape->volume(Metres{3.0}) == Litres{2000.0});
  CHECK(shape->depth(Litres{0.0}) == Metres{0.1});
  CHECK(shape->depth(Litres{5000.0}) == Metres{1.0});
  CHECK(shape->surface(Metres{0.05}) == SquareMetres{0.0});
  CHECK(shape->surface(Metres{1.05}) == SquareMetres{0.0});
  CHECK(shape->surface(Metres{0.1}).value() > 0.0);
  CHECK(shape->height() == Metres{1.0});
}

TEST_CASE("strapping: where contents stand still the lower depth answers", "[tank][strapping]") {
  const ShapePtr shape = made(strapping(
      {point(0.0, 0.0), point(0.5, 900.0), point(0.7, 900.0), point(1.0, 1500.0), point(1.2, 1500.0)}));
  CHECK(shape->depth(Litres{900.0}) == Metres{0.5});
  CHECK(shape->depth(Litres{1500.0}) == Metres{1.0});
  CHECK(shape->depth(Litres{2000.0}) == Metres{1.0});
  CHECK(shape->volume(Metres{0.6}) == Litres{900.0});
  CHECK(shape->surface(Metres{0.6}) == SquareMetres{0.0});
}

TEST_CASE("strapping: a table that contradicts itself is refused at its point", "[tank][strapping]") {
  const double none = std::numeric_limits<double>::quiet_NaN();
  refused(strapping({}), "0 points");
  refused(strapping({point(0.0, 0.0)}), "at least two");
  refused(strapping({point(0.0, 0.0), point(0.1, 5.0), point(0.1, 6.0)}),
          "point 3 (0.1 m, 6 L) is not deeper");
  refused(strapping({point(0.0, 0.0), point(0.2, 5.0), point(0.1, 6.0)}), "point 3");
  refused(strapping({point(0.0, 0.0), point(0.1, 5.0), point(0.2, 4.9)}),
          "point 3 (0.2 m, 4.9 L) holds less");
  refused(strapping({point(-0.1, 0.0), point(0.1, 5.0)}), "point 1 (-0.1 m, 0 L)");
  refused(strapping({point(0.0, -1.0), point(0.1, 5.0)}), "point 1");
  refused(strapping({point(0.0, 0.0), point(none, 5.0)}), "point 2");
  refused(strapping({point(0.0, 0.0), point(0.1, none)}), "point 2");
  refused(strapping({point(0.0, 5.0), point(0.1, 5.0)}), "never grow");
}
