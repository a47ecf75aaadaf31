// Robust lines and least squares against the rows of 11: NIST StRD's certified fits, the Theil-Sen example
// that scipy's tests carry, and made series with scipy's results (the source of each is in the file).

#include "stillwell/reading/line.hpp"

#include "stillwell/reading/least_squares.hpp"
#include "stillwell/reading/median.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "support/bench_csv.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;

namespace {

std::vector<Point> series(const std::string& name) {
  const support::Csv csv{"11_regression_data.csv"};
  std::vector<Point> points;
  for (std::size_t row = 0; row < csv.size(); ++row)
    if (csv.at(row, "dataset") == name)
      points.push_back({std::stod(csv.at(row, "x")), std::stod(csv.at(row, "y"))});
  REQUIRE_FALSE(points.empty());
  return points;
}

/// The certified text of a quantity.
std::string certified(const std::string& name, const std::string& quantity) {
  const support::Csv csv{"11_regression_certified.csv"};
  for (std::size_t row = 0; row < csv.size(); ++row)
    if (csv.at(row, "dataset") == name && csv.at(row, "quantity") == quantity) return csv.at(row, "value");
  throw std::runtime_error("no row for " + name + " " + quantity);
}

void check_ten_digits(double ours, const std::string& name, const std::string& quantity) {
  const double theirs = std::stod(certified(name, quantity));
  INFO(name << " " << quantity << ": " << ours << " against " << theirs);
  CHECK(std::abs(ours - theirs) <= 0.5e-10 * std::abs(theirs));
}

/// The fit of a polynomial whose lowest power is `from`.
template <std::size_t Columns>
LeastSquares<Columns> fit(const std::string& name, int from) {
  std::vector<Equation<Columns>> equations;
  for (const Point& point : series(name)) {
    Equation<Columns> equation{{}, point.y};
    for (std::size_t column = 0; column < Columns; ++column)
      equation.x[column] = std::pow(point.x, from + static_cast<int>(column));
    equations.push_back(equation);
  }
  const auto result = least_squares<Columns>(equations);
  REQUIRE(result);
  return *result;
}

const std::vector<std::string> kMade{"made 1: rising, 3 spikes", "made 2: falling, uneven times, 2 spikes",
                                     "made 3: flat, ties, 2 spikes"};

/// Two-sided normal quantile, by halving.
double sigmas_for(double confidence) {
  double low = 0.0;
  double high = 10.0;
  for (int step = 0; step < 100; ++step) {
    const double middle = (low + high) / 2.0;
    (std::erf(middle / std::sqrt(2.0)) < confidence ? low : high) = middle;
  }
  return low;
}

}  // namespace

TEST_CASE("least squares: NIST's Norris to ten digits", "[reading][reference]") {
  const auto line = fit<2>("Norris", 0);
  check_ten_digits(line.value[0], "Norris", "B0");
  check_ten_digits(line.value[1], "Norris", "B1");
  check_ten_digits(line.deviation[0], "Norris", "sd B0");
  check_ten_digits(line.deviation[1], "Norris", "sd B1");
  check_ten_digits(line.residual_deviation, "Norris", "residual SD");
  check_ten_digits(std::pow(line.residual_deviation, 2), "Norris", "residual MS");
  check_ten_digits(line.residual_squares, "Norris", "residual SS");
  check_ten_digits(line.explained[1], "Norris", "regression SS");
  check_ten_digits(line.explained[1] / (line.explained[1] + line.residual_squares), "Norris", "R2");
}

TEST_CASE("least squares: NIST's NoInt1, a line through the origin, to ten digits", "[reading][reference]") {
  const auto line = fit<1>("NoInt1", 1);
  check_ten_digits(line.value[0], "NoInt1", "B1");
  check_ten_digits(line.deviation[0], "NoInt1", "sd B1");
  check_ten_digits(line.residual_deviation, "NoInt1", "residual SD");
  check_ten_digits(std::pow(line.residual_deviation, 2), "NoInt1", "residual MS");
  check_ten_digits(line.residual_squares, "NoInt1", "residual SS");
  check_ten_digits(line.explained[0], "NoInt1", "regression SS");
  check_ten_digits(line.explained[0] / (line.explained[0] + line.residual_squares), "NoInt1", "R2");
}

TEST_CASE("least squares: NIST's Pontius, a parabola over a million, to ten digits", "[reading][reference]") {
  const auto parabola = fit<3>("Pontius", 0);
  for (std::size_t power = 0; power < 3; ++power) {
    check_ten_digits(parabola.value[power], "Pontius", "B" + std::to_string(power));
    check_ten_digits(parabola.deviation[power], "Pontius", "sd B" + std::to_string(power));
  }
  check_ten_digits(parabola.residual_deviation, "Pontius", "residual SD");
  check_ten_digits(parabola.residual_squares, "Pontius", "residual SS");
  const double explained = parabola.explained[1] + parabola.explained[2];
  check_ten_digits(explained / (explained + parabola.residual_squares), "Pontius", "R2");
}

TEST_CASE("least squares: the made series' slopes to ten digits", "[reading][reference]") {
  for (const std::string& name : kMade) {
    const auto line = fit<2>(name, 0);
    check_ten_digits(line.value[1], name, "ordinary least squares slope");
    check_ten_digits(line.deviation[1], name, "ordinary least squares sd of slope");
  }
}

TEST_CASE("least squares: refuses what has no answer", "[reading][edges]") {
  using Line = std::vector<Equation<2>>;
  CHECK_FALSE(least_squares<2>(Line{}));
  CHECK_FALSE(least_squares<2>(Line{{{1.0, 0.0}, 1.0}, {{1.0, 1.0}, 2.0}}));
  CHECK_FALSE(least_squares<2>(Line(5, {{1.0, 3.0}, 1.0})));
  CHECK_FALSE(least_squares<2>(Line{{{1.0, 0.0}, 1.0}, {{1.0, 1.0}, 2.0}, {{1.0, 2.0}, std::nan("")}}));
  CHECK_FALSE(least_squares<2>(Line{{{1.0, 0.0}, 1.0}, {{1.0, std::nan("")}, 2.0}, {{1.0, 2.0}, 3.0}}));
  Line many;
  for (int i = 0; i < 65; ++i)
    many.push_back({{1.0, static_cast<double>(i)}, 2.0 * i});
  CHECK_FALSE(least_squares<2>(many));
  many.pop_back();
  const auto exact = least_squares<2>(many);
  REQUIRE(exact);
  CHECK(exact->value[1] == Approx(2.0).epsilon(1e-14));
}

TEST_CASE("theil-sen: the example of Sen's paper, as scipy's tests carry it", "[reading][reference]") {
  const std::string name = "Theil-Sen library example";
  const auto line = theil_sen(series(name), sigmas_for(0.93));  // its alpha is 0.07
  REQUIRE(line);
  CHECK(line->slope == std::stod(certified(name, "Theil-Sen slope")));
  // Published to two decimals.
  CHECK(std::abs(line->low - std::stod(certified(name, "slope lower"))) <= 0.005);
  CHECK(std::abs(line->high - std::stod(certified(name, "slope upper"))) <= 0.005 + 1e-12);
}

TEST_CASE("theil-sen: slopes, intervals and intercepts of the made series are scipy's",
          "[reading][reference]") {
  for (const std::string& name : kMade) {
    const auto points = series(name);
    const auto line = theil_sen(points, kNinetyFivePercent);
    REQUIRE(line);
    INFO(name);
    const auto close = [&name](double ours, const std::string& quantity) {
      // The same quotients of the same doubles, to a few roundings of decimals near 1.
      return std::abs(ours - std::stod(certified(name, quantity))) <= 1e-15;
    };
    CHECK(close(line->slope, "Theil-Sen slope"));
    CHECK(close(line->low, "Theil-Sen slope lower 95 percent"));
    CHECK(close(line->high, "Theil-Sen slope upper 95 percent"));
    std::vector<double> x;
    std::vector<double> y;
    std::vector<double> offset;
    for (const Point& point : points) {
      x.push_back(point.x);
      y.push_back(point.y);
      offset.push_back(point.y - line->slope * point.x);
    }
    CHECK(close(median(y) - line->slope * median(x), "Theil-Sen intercept (separate)"));
    CHECK(close(median(offset), "Theil-Sen intercept (joint)"));
  }
}

TEST_CASE("theil-sen: ties narrow the interval as Sen's variance says", "[reading][edges]") {
  // Five readings at 0, five at 1. Sen's variance is (10·9·25 − 2·5·4·15) / 18 = 91.67, so that 2.3
  // deviations reach up to rank 34 (counted from 0) of 45 slopes: 20 zeros, then 1/9 … 1/5 (ranks 30 to 34).
  // Without the ties it would be rank 35, 1/4.
  std::vector<Point> points;
  for (int i = 0; i < 10; ++i)
    points.push_back({static_cast<double>(i), i < 5 ? 0.0 : 1.0});
  const auto line = theil_sen(points, 2.3);
  REQUIRE(line);
  CHECK(line->low == 0.0);
  CHECK(line->high == 0.2);
}

TEST_CASE("robust lines: a quarter of wild points does not bend one", "[reading][property]") {
  const std::uint64_t seed = support::seed_or(1968);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 200; ++round) {
    const double slope = dice.between(-2.0, 2.0);
    std::vector<Point> points;
    for (int i = 0; i < 40; ++i)
      points.push_back({i + dice.between(0.0, 0.9), 0.0});
    for (Point& point : points)
      point.y = 5.0 + slope * point.x;
    const auto spoil = [&](int count) {
      auto spoilt = points;
      for (int i = 0; i < count; ++i)
        spoilt[static_cast<std::size_t>(dice.roll(40))].y += dice.between(50.0, 5000.0);
      return spoilt;
    };
    CHECK(theil_sen(spoil(10), kNinetyFivePercent)->slope == Approx(slope).margin(1e-9));
  }
}

TEST_CASE("robust lines: the 95 % interval holds the true slope in about 95 of 100 cases",
          "[reading][property]") {
  const std::uint64_t seed = support::seed_or(95);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  int held = 0;
  constexpr int kRounds = 2000;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<Point> points;
    for (int i = 0; i < 30; ++i)
      points.push_back({static_cast<double>(i), 0.1 * i + dice.between(-1.0, 1.0) + dice.between(-1.0, 1.0)});
    const auto line = theil_sen(points, kNinetyFivePercent);
    REQUIRE(line);
    REQUIRE(line->low <= line->slope);
    REQUIRE(line->slope <= line->high);
    if (line->low <= 0.1 && 0.1 <= line->high) ++held;
  }
  INFO(held << " of " << kRounds);
  // Four standard deviations of a binomial count about 95 %, and one for the intervals being of whole ranks.
  CHECK(std::abs(held - 1900) <= 49);
}

TEST_CASE("robust lines: refuse what has no answer", "[reading][edges]") {
  const std::vector<Point> one{{1.0, 1.0}};
  const std::vector<Point> column{{1.0, 1.0}, {1.0, 2.0}, {1.0, 3.0}};
  const std::vector<Point> holed{{1.0, 1.0}, {2.0, std::nan("")}, {3.0, 3.0}};
  for (const auto& points : {std::vector<Point>{}, one, column, holed}) {
    CHECK_FALSE(theil_sen(points, kNinetyFivePercent));
  }
  std::vector<Point> many;
  for (std::size_t i = 0; i <= kMostPoints; ++i)
    many.push_back({static_cast<double>(i), 2.0 * static_cast<double>(i)});
  CHECK_FALSE(theil_sen(many, kNinetyFivePercent));
  many.pop_back();
  CHECK(theil_sen(many, kNinetyFivePercent)->slope == 2.0);
  CHECK_FALSE(theil_sen(many, std::nan("")));
}
