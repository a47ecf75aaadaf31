// How often motors start and how long they rest, against tests/reference/10_nema_mg10_starts.csv (NEMA MG 10,
// Table 2-3, from reprints).
#include "stillwell/pump/motor_starts.hpp"

#include <cmath>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"

using namespace stillwell;

namespace {

Watts horsepower(double count) {
  return Watts{count * kWattsPerHorsepower};
}

}  // namespace

TEST_CASE("motor starts: every row of the published table", "[pump][reference]") {
  const support::Csv table{"10_nema_mg10_starts.csv"};
  REQUIRE(table.size() == 60);
  for (std::size_t row = 0; row < table.size(); ++row) {
    const double rating = std::stod(table.at(row, "hp"));
    const int poles = std::stoi(table.at(row, "poles"));
    INFO(rating << " hp, " << poles << " poles (" << table.at(row, "source") << ")");
    const auto starts = starts_of({horsepower(rating), poles});
    REQUIRE(starts);
    CHECK(starts->horsepower == rating);
    CHECK(starts->at_most.value() == std::stod(table.at(row, "A_max_starts_per_hour")));
    CHECK(seconds_of(starts->rest) == std::stod(table.at(row, "C_min_rest_s")));
  }
}

TEST_CASE("motor starts: between two ratings the larger one is taken, and nothing is interpolated",
          "[pump]") {
  const support::Csv table{"10_nema_mg10_starts.csv"};
  for (std::size_t row = 3; row < table.size(); ++row) {  // three rows a rating
    const double smaller = std::stod(table.at(row - 3, "hp"));
    const auto starts = starts_of({horsepower(smaller * 1.002), std::stoi(table.at(row, "poles"))});
    REQUIRE(starts);
    CHECK(starts->horsepower == std::stod(table.at(row, "hp")));
    CHECK(starts->at_most.value() == std::stod(table.at(row, "A_max_starts_per_hour")));
  }
  CHECK(starts_of({Watts{746.0}, 2})->horsepower == 1.0);
  CHECK(starts_of({Watts{750.0}, 2})->horsepower == 1.5);
  CHECK(starts_of({Watts{370.0}, 2})->horsepower == 1.0);
  CHECK(starts_of({Watts{1100.0}, 2})->horsepower == 1.5);
}

TEST_CASE("motor starts: beyond the table nothing is said", "[pump]") {
  CHECK_FALSE(starts_of({horsepower(250.5), 2}));
  CHECK_FALSE(starts_of({Watts{std::nan("")}, 2}));
  for (const int poles : {-2, 0, 1, 3, 5, 8})
    CHECK_FALSE(starts_of({Watts{1100.0}, poles}));
}
