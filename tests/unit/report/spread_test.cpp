// Labels along one side of a drawing: none upon another, in their order, and no farther from their places
// than need be.

#include "stillwell/report/spread.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using report::spread;
using report::SpreadLimits;

namespace {

double squares(const std::vector<double>& wanted, const std::vector<double>& places) {
  double sum = 0.0;
  for (std::size_t at = 0; at < wanted.size(); ++at)
    sum += (places[at] - wanted[at]) * (places[at] - wanted[at]);
  return sum;
}

double nearest(const std::vector<double>& places) {
  double least = 1e9;
  for (std::size_t at = 1; at < places.size(); ++at)
    least = std::min(least, places[at] - places[at - 1]);
  return least;
}

}  // namespace

TEST_CASE("spread: labels that have room stay where they want to be", "[report][spread]") {
  const std::vector<double> wanted{10.0, 40.0, 57.0, 90.0};
  CHECK(spread(wanted, {.gap = 17.0, .low = 0.0, .high = 100.0}) == wanted);
  CHECK(spread({}, {.gap = 17.0, .low = 0.0, .high = 100.0}).empty());
}

TEST_CASE("spread: labels of one height stand evenly about it", "[report][spread]") {
  CHECK(spread({50.0, 50.0, 50.0}, {.gap = 10.0, .low = 0.0, .high = 100.0}) ==
        std::vector<double>{40.0, 50.0, 60.0});
  CHECK(spread({0.0, 0.0}, {.gap = 10.0, .low = 0.0, .high = 100.0}) == std::vector<double>{0.0, 10.0});
  CHECK(spread({100.0, 100.0}, {.gap = 10.0, .low = 0.0, .high = 100.0}) == std::vector<double>{90.0, 100.0});
}

TEST_CASE("spread: where they do not fit, they keep their gap and go beyond the end", "[report][spread]") {
  CHECK(spread({5.0, 5.0, 5.0}, {.gap = 10.0, .low = 0.0, .high = 15.0}) ==
        std::vector<double>{0.0, 10.0, 20.0});
}

TEST_CASE("spread: never nearer than the gap, never outside, and no other such placement is nearer",
          "[report][spread]") {
  const auto seed = support::seed_or(20260301);
  INFO("seed " << seed);
  support::Dice dice{seed};
  constexpr SpreadLimits kLimits{.gap = 17.0, .low = 20.0, .high = 380.0};
  for (int round = 0; round < 300; ++round) {
    std::vector<double> wanted(static_cast<std::size_t>(1 + dice.roll(20)));
    for (double& one : wanted)
      one = dice.between(0.0, 400.0);
    std::ranges::sort(wanted);
    const auto places = spread(wanted, kLimits);
    REQUIRE(places.size() == wanted.size());
    CHECK(nearest(places) >= kLimits.gap - 1e-9);
    CHECK(places.front() >= kLimits.low - 1e-9);
    CHECK(places.back() <= kLimits.high + 1e-9);
    for (std::size_t at = 0; at < places.size(); ++at)
      CHECK(std::abs(places[at] - wanted[at]) <= kLimits.gap * static_cast<double>(places.size()) + 20.0);
    // Any other: random places, each pushed as far as it must be.
    for (int other = 0; other < 20; ++other) {
      std::vector<double> rival = places;
      double from = kLimits.low;
      for (double& one : rival) {
        one = std::max(one + dice.between(-9.0, 9.0), from);
        from = one + kLimits.gap;
      }
      if (rival.back() <= kLimits.high) CHECK(squares(wanted, places) <= squares(wanted, rival) + 1e-6);
    }
  }
}
