// The figures of a run of soundings, held against published fits and against readings of which we know what
// they are.

#include "stillwell/reading/soundings.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <stdexcept>

#include "support/bench_csv.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Instant kBegun{1h};

SoundingRun run_of(std::size_t periods, Duration every = 500ms) {
  return {.begun = kBegun, .ended = kBegun + every * static_cast<std::int64_t>(periods), .every = every};
}

/// One a period, the first a period after the beginning.
std::vector<Sounding> taken(const std::vector<double>& millimetres, Duration every = 500ms) {
  std::vector<Sounding> soundings;
  soundings.reserve(millimetres.size());
  for (const double value : millimetres)
    soundings.push_back(
        {kBegun + every * static_cast<std::int64_t>(soundings.size() + 1), Metres{value / 1000.0}});
  return soundings;
}

/// NIST's dataset with its x taken for seconds and its y for metres.
std::vector<Sounding> nist(const std::string& name) {
  const support::Csv csv{"11_regression_data.csv"};
  std::vector<Sounding> soundings;
  for (std::size_t row = 0; row < csv.size(); ++row)
    if (csv.at(row, "dataset") == name)
      soundings.push_back({Instant{std::chrono::nanoseconds{std::llround(std::stod(csv.at(row, "x")) * 1e9)}},
                           Metres{std::stod(csv.at(row, "y"))}});
  std::sort(soundings.begin(), soundings.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
  REQUIRE_FALSE(soundings.empty());
  return soundings;
}

double certified(const std::string& name, const std::string& quantity) {
  const support::Csv csv{"11_regression_certified.csv"};
  for (std::size_t row = 0; row < csv.size(); ++row)
    if (csv.at(row, "dataset") == name && csv.at(row, "quantity") == quantity)
      return std::stod(csv.at(row, "value"));
  throw std::runtime_error("no row for " + name + " " + quantity);
}

/// An even spread of this half width about a course.
std::vector<double> noisy(std::size_t count, double centre, double a_period, double half,
                          support::Dice& dice) {
  std::vector<double> values;
  for (std::size_t at = 0; at < count; ++at)
    values.push_back(centre + a_period * static_cast<double>(at) + dice.between(-half, half));
  return values;
}

}  // namespace

TEST_CASE("soundings: the drift and its uncertainty are the certified ones of NIST's Norris",
          "[reading][reference]") {
  const auto soundings = nist("Norris");
  const auto figures = figures_of(soundings, {.begun = {}, .ended = soundings.back().at, .every = 1h});
  REQUIRE(figures.outliers == 0);
  REQUIRE(figures.drift);
  CHECK(figures.drift->slope.value() == Approx(certified("Norris", "B1")).epsilon(1e-11));
  CHECK(figures.drift->half_width.value() ==
        Approx(certified("Norris", "sd B1") * student_95(soundings.size() - 2)).epsilon(1e-9));
  CHECK(figures.drift->scatter.value() == Approx(certified("Norris", "residual SD")).epsilon(1e-9));
}

TEST_CASE("soundings: Student's t is that of the tables", "[reading][reference]") {
  // Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.10, 0.975: from memory, as printed in
  // every table of t.
  CHECK(student_95(3) == Approx(3.182).epsilon(0.002));
  CHECK(student_95(6) == Approx(2.447).epsilon(0.001));
  CHECK(student_95(10) == Approx(2.228).epsilon(0.0005));
  CHECK(student_95(30) == Approx(2.042).epsilon(0.0005));
  CHECK(student_95(1'000'000) == Approx(1.95996).epsilon(1e-5));
}

TEST_CASE("soundings: mean, spread and ends of readings worked out by hand", "[reading]") {
  // 1, 2, 3, 4, 5 mm about 2 m: mean 3, squares 4+1+0+1+4 over 4.
  const auto figures = figures_of(taken({2001, 2002, 2003, 2004, 2005}), run_of(5));
  CHECK(figures.count == 5);
  CHECK(figures.missed == 0);
  CHECK(figures.outliers == 0);
  CHECK(figures.mean.value() == Approx(2.003));
  CHECK(figures.median.value() == Approx(2.003));
  CHECK(figures.spread.value() == Approx(std::sqrt(2.5) / 1000.0));
  CHECK(figures.lowest.value() == Approx(2.001));
  CHECK(figures.highest.value() == Approx(2.005));
  CHECK_FALSE(figures.drift);  // five points on a line by chance
}

TEST_CASE("soundings: a spider among them is an outlier and moves neither mean nor spread", "[reading]") {
  std::vector<double> values(40, 1953.0);
  values[7] = 310.0;
  values[21] = 3906.0;
  const auto figures = figures_of(taken(values), run_of(40));
  CHECK(figures.outliers == 2);
  CHECK(figures.mean.value() == Approx(1.953));
  CHECK(figures.spread.value() == Approx(0.0).margin(1e-12));
  CHECK(figures.lowest.value() == Approx(0.310));
  CHECK(figures.highest.value() == Approx(3.906));
  CHECK(unsteady(figures, Metres{0.01}).empty());
}

TEST_CASE("soundings: of readings that are all the same one that is a count off is no outlier", "[reading]") {
  std::vector<double> values(40, 1953.0);
  values[7] = 1954.0;
  values[9] = 1957.0;  // within 3 · 1.4826 counts
  values[11] = 1958.0;
  CHECK(figures_of(taken(values), run_of(40)).outliers == 1);
}

TEST_CASE("soundings: what did not come is counted by its place in time", "[reading]") {
  auto soundings = taken(std::vector<double>(20, 1000.0));
  soundings.erase(soundings.begin() + 5, soundings.begin() + 8);
  CHECK(figures_of(soundings, run_of(20)).missed == 3);
  SECTION("also before the first and after the last") {
    soundings.erase(soundings.begin(), soundings.begin() + 2);
    soundings.resize(soundings.size() - 4);
    CHECK(figures_of(soundings, run_of(20)).missed == 3 + 2 + 3);
  }
  SECTION("late by less than half a period is not missed") {
    for (std::size_t at = 0; at < soundings.size(); at += 2)
      soundings[at].at += 120ms;
    CHECK(figures_of(soundings, run_of(20)).missed == 3);
  }
}

TEST_CASE("soundings: a gauge that is silent misses every one", "[reading]") {
  const auto figures = figures_of({}, run_of(60));
  CHECK(figures.count == 0);
  CHECK(figures.missed == 60);
  CHECK(figures_of({}, {.begun = kBegun, .ended = kBegun, .every = 1s}).missed == 1);
}

TEST_CASE("soundings: a sensor that sends faster than it is asked to misses none", "[reading]") {
  const auto figures = figures_of(taken(std::vector<double>(100, 1000.0), 100ms), run_of(20));
  CHECK(figures.count == 100);
  CHECK(figures.missed == 0);
}

TEST_CASE("soundings: still water with noise is called drifting no oftener than 1 in 20",
          "[reading][property]") {
  const std::uint64_t seed = support::seed_or(3100);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  constexpr int kRounds = 400;
  int called = 0;
  int held = 0;
  for (int round = 0; round < kRounds; ++round) {
    if (figures_of(taken(noisy(60, 1500.0, 0.0, 4.0, dice)), run_of(60)).drift) ++called;
    // 0.2 mm a period of half a second
    const auto drift = figures_of(taken(noisy(60, 1500.0, 0.2, 2.0, dice)), run_of(60)).drift;
    REQUIRE(drift);
    if (std::abs(drift->slope.value() - 0.0004) <= drift->half_width.value()) ++held;
  }
  // 5 % of 400, and four standard deviations of that count (4.4 each).
  CHECK(called <= 20 + 18);
  CHECK(held >= 380 - 18);
}

TEST_CASE("soundings: one step from a count to the next is no drift, several are", "[reading]") {
  std::vector<double> step(60, 1953.0);
  for (std::size_t at = 30; at < step.size(); ++at)
    step[at] = 1954.0;
  CHECK_FALSE(figures_of(taken(step), run_of(60)).drift);
  std::vector<double> stairs;
  for (std::size_t at = 0; at < 60; ++at)
    stairs.push_back(std::floor(1953.0 + static_cast<double>(at) / 10.0));
  const auto figures = figures_of(taken(stairs), run_of(60));
  REQUIRE(figures.drift);
  CHECK(figures.drift->over_run.value() == Approx(0.0059).margin(0.0003));
  CHECK(unsteady(figures, Metres{0.01}).size() == 1);
}

TEST_CASE("soundings: water that rises, scatters or flips is no steady surface", "[reading]") {
  support::Dice dice{4};
  CHECK(unsteady(figures_of(taken(noisy(60, 1500.0, 0.0, 3.0, dice)), run_of(60)), Metres{0.01}).empty());
  const auto rising = figures_of(taken(noisy(60, 1500.0, -0.2, 1.0, dice)), run_of(60));
  REQUIRE(unsteady(rising, Metres{0.01}).size() == 1);
  CHECK(unsteady(rising, Metres{0.01})[0].find("moved by -1") != std::string::npos);
  const auto fast = figures_of(taken(noisy(60, 1500.0, 5.0, 1.0, dice)), run_of(60));
  CHECK(fast.spread > Metres{0.05});  // its movement, which is no scatter
  CHECK(unsteady(fast, Metres{0.01}).size() == 1);
  const auto wild = figures_of(taken(noisy(60, 1500.0, 0.0, 60.0, dice)), run_of(60));
  REQUIRE(unsteady(wild, Metres{0.01}).size() == 1);
  CHECK(unsteady(wild, Metres{0.01})[0].find("settle.noise") != std::string::npos);
  CHECK(unsteady(wild, Metres{0.0}).empty());  // the site does not want it judged
  std::vector<double> flips(60, 1500.0);
  for (std::size_t at = 0; at < 60; at += 8)
    flips[at] = 400.0;
  CHECK(unsteady(figures_of(taken(flips), run_of(60)), Metres{0.01}).size() == 1);
}

TEST_CASE("soundings: too few, or too many missed, are no ground for a proposal", "[reading]") {
  CHECK(insufficient(figures_of(taken(std::vector<double>(10, 1500.0)), run_of(10))).empty());
  CHECK(insufficient(figures_of(taken(std::vector<double>(9, 1500.0)), run_of(9))).size() == 1);
  CHECK(insufficient(figures_of(taken(std::vector<double>(15, 1500.0)), run_of(20))).empty());
  CHECK(insufficient(figures_of(taken(std::vector<double>(15, 1500.0)), run_of(22))).size() == 1);
  CHECK(insufficient(figures_of({}, run_of(20))).size() == 2);
}
