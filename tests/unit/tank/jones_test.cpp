// Worked examples of D. Jones, "Computing Fluid Tank Volumes" and "Compute Fluid Volumes in Vertical Tanks",
// as quoted by a library's tests, and the same integrated with 40 digits:
// tests/reference/02_jones_tank_examples.csv. Inches and US gallons (231 cubic inches) there. Not offered
// here, so skipped and counted: guppy heads (an oblique cone), and bottoms that stand up into the tank.

#include "stillwell/tank/shapes/horizontal_cylinder.hpp"
#include "stillwell/tank/shapes/vertical_cylinder.hpp"

#include "support/shape_bench.hpp"

using namespace stillwell;
using support::made;
using support::number;

namespace {

constexpr double kInch = 0.0254;
constexpr double kGallon = 231.0 * kInch * kInch * kInch;  // m³

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// One row: in inches and the row's unit of volume.
struct Example {
  std::string name;
  std::string part;
  double diameter;
  double length;
  Head head;
  double depth;
};

Head head_of(const support::Csv& table, std::size_t row) {
  const std::string& name = table.at(row, "case");
  if (has(name, "torispherical"))
    return Torispherical{.crown = number(table, row, "f"), .knuckle = number(table, row, "k")};
  const Metres depth{number(table, row, "a") * kInch};
  if (has(name, "conical")) return Conical{depth};
  if (has(name, "ellipsoidal")) return Ellipsoidal{depth};
  REQUIRE(has(name, "spherical"));
  return Dished{depth};
}

Example example(const support::Csv& table, std::size_t row) {
  const std::string& length = table.at(row, "L");
  return {.name = table.at(row, "case"),
          .part = table.at(row, "part"),
          .diameter = number(table, row, "D") * kInch,
          .length = length.empty() ? 0.0 : number(table, row, "L") * kInch,
          .head = head_of(table, row),
          .depth = table.at(row, "depth_h").empty() ? 0.0 : number(table, row, "depth_h") * kInch};
}

double lying(const Example& of, double length, const Head& near, const Head& far) {
  const HorizontalCylinder dimensions{
      .diameter = Metres{of.diameter}, .length = Metres{length}, .near = near, .far = far};
  return support::cubic_metres(*made(horizontal_cylinder(dimensions)), of.depth);
}

/// In cubic metres. What heads hold by themselves is a vessel with them less one without.
double answer(const Example& of) {
  if (of.part == "depth") return size_of(of.head, Metres{of.diameter}).value().depth.value();
  if (has(of.name, "vertical"))
    return support::cubic_metres(*made(vertical_cylinder(Metres{of.diameter}, of.head)), of.depth);
  if (of.part == "total") return lying(of, of.length, of.head, of.head);
  const Head other = of.part == "one head only" ? Head{Flat{}} : of.head;
  return lying(of, of.diameter, of.head, other) - lying(of, of.diameter, Flat{}, Flat{});
}

/// The same with everything full: what an error is measured against.
double full_answer(Example of) {
  if (of.part == "depth") return of.diameter;
  if (!has(of.name, "vertical")) of.depth = of.diameter;
  return answer(of);
}

}  // namespace

TEST_CASE("Jones: every worked example that this program has a shape for", "[tank][published]") {
  const support::Csv table{"02_jones_tank_examples.csv"};
  int guppy = 0;
  int concave = 0;
  int checked = 0;
  for (std::size_t row = 0; row < table.size(); ++row) {
    const std::string& name = table.at(row, "case");
    guppy += has(name, "guppy") ? 1 : 0;
    concave += has(name, "concave") ? 1 : 0;
    if (has(name, "guppy") || has(name, "concave")) continue;
    ++checked;
    const Example of = example(table, row);
    const std::string& unit = table.at(row, "unit_of_value");
    INFO(name << ", " << of.part << " in " << unit << ", depth " << table.at(row, "depth_h") << "; "
              << table.at(row, "source"));
    const double worth = of.part == "depth" ? kInch : has(unit, "gal") ? kGallon : kInch * kInch * kInch;
    const double bound = 1e-9 * std::max(full_answer(of), number(table, row, "value_integrated") * worth);
    CHECK(std::abs(answer(of) - number(table, row, "value_integrated") * worth) <= bound);
    CHECK(std::abs(answer(of) - number(table, row, "value_quoted") * worth) <= bound);
  }
  CHECK(guppy == 6);
  CHECK(concave == 20);
  CHECK(checked == 48);
}
