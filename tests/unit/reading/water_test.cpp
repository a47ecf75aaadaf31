// Density of water against the rows of 07 (the source of each is in the file), and depth from pressure. The
// rows of IAPWS-95's Table 7 check that file's own equation of state at pressures and heats that no tank has;
// they say nothing of this formula and are not used.

#include "stillwell/reading/water.hpp"

#include <cmath>
#include <map>
#include <string>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"

using namespace stillwell;

namespace {

struct Source {
  double within;  ///< kg/m3
  int rows;
};

// Its own formula to the digits, its own table to half of the last printed place; the others to the spread
// between the sources as the table's notes state it, largest at 40 degC. Kell (1975) rests on a maximum
// density of 999.972, 0.003 below today's, and on IPTS-68.
const std::map<std::string, Source> kSources{
    {"Tanaka 2001 formula density", {1e-10, 41}},
    {"Tanaka 2001 table", {5e-5, 41}},
    {"IAPWS-95 liquid density at 101325 Pa", {0.0012, 41}},
    {"ITTC fresh water table", {0.0012, 31}},
    {"Jones-Harris 1992 density (air-free)", {0.0042, 36}},
    {"CRC / ITS-90 table", {0.0053, 41}},
    {"Kell 1975 density (t converted to IPTS-68 by 1.00024)", {0.005, 41}},
};

double one_value(const support::Csv& csv, const std::string& item) {
  for (std::size_t row = 0; row < csv.size(); ++row)
    if (csv.at(row, "item").rfind(item, 0) == 0) return std::stod(csv.at(row, "value"));
  throw std::runtime_error("no row for " + item);
}

}  // namespace

TEST_CASE("water: density agrees with every source as far as they agree", "[reading][reference]") {
  const support::Csv csv{"07_water_density.csv"};
  std::map<std::string, int> seen;
  for (std::size_t row = 0; row < csv.size(); ++row) {
    const auto source = kSources.find(csv.at(row, "item"));
    if (source == kSources.end()) continue;
    const auto density = water_density(Celsius{std::stod(csv.at(row, "temperature_degC_or_state"))});
    INFO(source->first << " at " << csv.at(row, "temperature_degC_or_state"));
    REQUIRE(density);
    CHECK(std::abs(density->value() - std::stod(csv.at(row, "value"))) <= source->second.within);
    ++seen[source->first];
  }
  for (const auto& [name, source] : kSources) {
    INFO(name);
    CHECK(seen[name] == source.rows);
  }
}

TEST_CASE("water: the conventional metre and inch of water, and gravity, are the published ones",
          "[reading][reference]") {
  const support::Csv csv{"07_water_density.csv"};
  CHECK(kStandardGravity == one_value(csv, "standard acceleration of gravity"));
  CHECK(pressure_under(Metres{1.0}, kConventionalDensity).value() ==
        Approx(one_value(csv, "conventional metre of water")).epsilon(1e-14));
  CHECK(pressure_under(Metres{0.0254}, kConventionalDensity).value() ==
        Approx(one_value(csv, "conventional inch of water")).epsilon(1e-14));
  // That row rests on the older maximum density of 999.972 kg/m3.
  CHECK(pressure_under(Metres{0.01}, KilogramsPerCubicMetre{999.972}).value() ==
        Approx(one_value(csv, "1 cm of water column")).epsilon(1e-8));
}

TEST_CASE("water: 1 kPa is 101.97 mm of conventional water, and pressure and depth are inverse",
          "[reading][water]") {
  CHECK(depth_under(Pascals{1000.0}, kConventionalDensity).value() == Approx(0.10197).margin(5e-6));
  const auto density = water_density(Celsius{27.0});
  REQUIRE(density);
  CHECK(depth_under(pressure_under(Metres{3.21}, *density), *density).value() == Approx(3.21).epsilon(1e-15));
}

TEST_CASE("water: the formula is kept to its range on both sides", "[reading][edges]") {
  CHECK(water_density(Celsius{0.0}));
  CHECK(water_density(Celsius{40.0}));
  CHECK_FALSE(water_density(Celsius{-0.001}));
  CHECK_FALSE(water_density(Celsius{40.001}));
  CHECK_FALSE(water_density(Celsius{std::nan("")}));
  CHECK_FALSE(correct_depth(Metres{2.0}, Celsius{41.0}));
}

TEST_CASE("water: a depth reckoned with 1000 kg/m3 is put right, cold or warm", "[reading][water]") {
  const auto warm = correct_depth(Metres{2.0}, Celsius{30.0});
  REQUIRE(warm);
  CHECK(warm->value() == Approx(2.0 * 1000.0 / 995.6488).epsilon(1e-7));  // 995.6488: Tanaka 2001, table
  const auto densest = correct_depth(Metres{2.0}, Celsius{4.0});
  REQUIRE(densest);
  CHECK(densest->value() == Approx(2.0).epsilon(3e-5));
}

TEST_CASE("water: the doubt covers every temperature within the range and no more", "[reading][water]") {
  const Metres reported{3.0};
  for (int low = 0; low <= 40; ++low) {
    for (int high = low; high <= 40; ++high) {
      const auto doubt = doubt_without_temperature(
          reported, {Celsius{static_cast<double>(low)}, Celsius{static_cast<double>(high)}});
      REQUIRE(doubt);
      double worst = 0.0;
      for (int celsius = low; celsius <= high; ++celsius) {
        const auto depth = correct_depth(reported, Celsius{static_cast<double>(celsius)});
        REQUIRE(depth);
        worst = std::max(worst, std::abs((*depth - reported).value()));
      }
      CHECK(doubt->value() == worst);
    }
  }
  CHECK_FALSE(doubt_without_temperature(reported, {Celsius{20.0}, Celsius{10.0}}));
  CHECK_FALSE(doubt_without_temperature(reported, {Celsius{std::nan("")}, Celsius{10.0}}));
}
