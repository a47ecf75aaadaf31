#include "stillwell/reading/beam.hpp"

#include <cmath>
#include <string>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"

using namespace stillwell;

namespace {

/// The number in "half-angle 3 deg" or "distance 0.25 m".
double number_after(const std::string& text, const std::string& word) {
  return std::stod(text.substr(text.find(word) + word.size()));
}

}  // namespace

TEST_CASE("beam: the footprint is that of every computed row", "[reading][reference]") {
  const support::Csv table("14_beam_geometry.csv");
  int checked = 0;
  for (std::size_t row = 0; row < table.size(); ++row) {
    if (table.at(row, "section") != "footprint diameter") continue;
    const double half = number_after(table.at(row, "item"), "half-angle ");
    const double distance = number_after(table.at(row, "inputs"), "distance ");
    const double expected = std::stod(table.at(row, "own_value"));
    INFO("half angle " << half << ", distance " << distance);
    CHECK(footprint(Metres{distance}, Degrees{2.0 * half}).value() == Approx(expected).epsilon(1e-14));
    ++checked;
  }
  CHECK(checked == 169);
}

TEST_CASE("beam: an angle that is none has no footprint", "[reading][edges]") {
  for (const double none : {0.0, -1.0, 180.0, 400.0, std::nan("")})
    CHECK(std::isnan(footprint(Metres{1.0}, Degrees{none}).value()));
}
