// Depths and volumes against values from outside: tests/reference/04_shapes_depth_volume.csv, integrated from
// first principles with 40 digits. Bounds are 1e-9 of the full volume and of the height.

#include "stillwell/quantity/units.hpp"
#include "stillwell/tank/shapes/prism.hpp"

#include <cmath>
#include <string>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"
#include "support/shape_bench.hpp"

using namespace stillwell;
using support::number;

namespace {

struct Published {
  std::string shape;
  std::string dimensions;
  double height;       ///< m
  double full_volume;  ///< m³, of the table's last row
};

/// Follows one shape's rows; returns how many there were.
int follow_rows(const Shape& shape, const Published& published) {
  const support::Csv table{"04_shapes_depth_volume.csv"};
  int count = 0;
  for (std::size_t row = 0; row < table.size(); ++row) {
    if (table.at(row, "shape") != published.shape) continue;
    ++count;
    INFO(published.shape << ", depth " << table.at(row, "depth_m"));
    REQUIRE(table.at(row, "dimensions") == published.dimensions);
    const Metres depth{number(table, row, "depth_m")};
    const double volume = number(table, row, "volume_m3");
    CHECK(std::abs(shape.volume(depth).value() / 1000.0 - volume) <= 1e-9 * published.full_volume);
    CHECK(std::abs((shape.depth(Litres{volume * 1000.0}) - depth).value()) <= 1e-9 * published.height);
    CHECK(std::abs(shape.surface(depth).value() - number(table, row, "liquid_surface_area_m2")) <= 1e-9);
  }
  return count;
}

}  // namespace

TEST_CASE("vertical cylinder: depths and volumes as published", "[tank][published]") {
  const Published published{"vertical cylinder, flat bottom", "D=2 m; H=3 m", 3.0, 9.42477796076937971538793};
  CHECK(follow_rows(*vertical_cylinder(Metres{2.0}), published) == 21);
}

TEST_CASE("rectangular tank: depths and volumes as published", "[tank][published]") {
  const Published published{"rectangular", "length 2 m; width 1.5 m; height 1.8 m", 1.8, 5.4};
  CHECK(follow_rows(*rectangular(Metres{2.0}, Metres{1.5}), published) == 21);
}
