// The bricks of the shapes, where their numbers are most delicate: a film of water in a round vessel, and the
// table that integrates a surface.

#include "stillwell/tank/shapes/segment.hpp"

#include "stillwell/tank/shapes/integral_table.hpp"
#include "stillwell/tank/shapes/quadrature.hpp"

#include <numbers>

#include "support/shape_bench.hpp"

using namespace stillwell::geometry;
using std::numbers::pi;

TEST_CASE("segment: a film of water keeps all its digits", "[tank][segment]") {
  // For h much smaller than r: A = 4/3·√(2r)·h^1.5·(1 − 3h/(20r)·…), the series of the exact area.
  for (int power = 3; power < 15; ++power) {
    const double h = std::pow(10.0, -power);
    INFO("depth " << h);
    const double series =
        4.0 / 3.0 * std::sqrt(2.0) * std::pow(h, 1.5) * (1.0 - 3.0 * h / 20.0 - 3.0 * h * h / 224.0);
    CHECK(segment_area(1.0, h) == Approx(series).epsilon(h * h * h + 1e-14));
  }
}

TEST_CASE("segment: half is half, full is full, outside is no more", "[tank][segment]") {
  CHECK(segment_area(2.0, 2.0) == Approx(2.0 * pi).epsilon(1e-15));
  CHECK(segment_area(2.0, 4.0) == Approx(4.0 * pi).epsilon(1e-15));
  CHECK(segment_area(2.0, 9.0) == Approx(4.0 * pi).epsilon(1e-15));
  CHECK(segment_area(2.0, -1.0) == 0.0);
  CHECK(chord(2.0, 2.0) == Approx(4.0));
  CHECK(chord(2.0, -1.0) == 0.0);
  CHECK(chord(2.0, 4.5) == 0.0);
}

TEST_CASE("segment: the two ways to a sine's remainder meet", "[tank][segment]") {
  CHECK(angle_minus_sine(0.999999999) == Approx(1.0 - std::sin(1.0)).epsilon(1e-8));
  CHECK(angle_minus_sine(0.5) == Approx(0.5 - std::sin(0.5)).epsilon(1e-14));
  CHECK(angle_minus_sine(1e-5) == Approx(1e-15 / 6.0).epsilon(1e-9));
  CHECK(angle_minus_sine(2.0 * pi) == Approx(2.0 * pi));
}

TEST_CASE("quadrature: smooth functions and square roots at the ends", "[tank][segment]") {
  CHECK(integral([](double x) { return std::exp(x); }, 0.0, 1.0) ==
        Approx(std::numbers::e - 1.0).epsilon(1e-14));
  CHECK(integral([](double x) { return std::sqrt(x * (2.0 - x)); }, 0.0, 2.0) ==
        Approx(pi / 2.0).epsilon(1e-13));
  CHECK(integral([](double x) { return std::sqrt(x + 1e-6); }, 0.0, 1.0) ==
        Approx(2.0 / 3.0 * (std::pow(1.0 + 1e-6, 1.5) - 1e-9)).epsilon(1e-12));
  CHECK(integral([](double x) { return x; }, 3.0, 3.0) == 0.0);
}

TEST_CASE("integral table: errors stay within the bound it states", "[tank][segment]") {
  // A circle lying on its side, whose area has a formula: the surface is the chord.
  const IntegralTable circle{[](double h) { return chord(1.0, h); }, {0.0, 2.0}};
  CHECK(circle.area_error() <= 1e-11);
  for (int i = 0; i <= 1000; ++i) {
    const double h = 2.0 * i / 1000.0;
    CHECK(std::abs(circle.area(h) - chord(1.0, h)) <= circle.area_error() + 1e-13);
    CHECK(std::abs(circle.volume(h) - segment_area(1.0, h)) <= 2.0 * circle.area_error() + 1e-14);
  }
}

TEST_CASE("integral table: a break it was not told of is found by halving", "[tank][segment]") {
  const IntegralTable kinked{[](double h) { return std::abs(h - 0.3); }, {0.0, 1.0}};
  for (int i = 0; i <= 1000; ++i) {
    const double h = i / 1000.0;
    const double exact = h < 0.3 ? 0.3 * h - h * h / 2.0 : 0.045 + (h - 0.3) * (h - 0.3) / 2.0;
    CHECK(std::abs(kinked.volume(h) - exact) <= 1e-10);
    CHECK(std::abs(kinked.area(h) - std::abs(h - 0.3)) <= 1e-8);
  }
}

TEST_CASE("integral table: a film of water keeps its digits there too", "[tank][segment]") {
  const IntegralTable circle{[](double h) { return chord(1.0, h); }, {0.0, 2.0}};
  for (int power = 2; power < 10; ++power) {
    const double h = std::pow(10.0, -power);
    INFO("depth " << h);
    CHECK(circle.volume(h) == Approx(segment_area(1.0, h)).epsilon(1e-8));
  }
}
