// The spike filter against the trailing rows of 12 (plain definition, computed; see the file's source
// column), and as a stream of readings uses it.

#include "stillwell/reading/hampel.hpp"

#include "stillwell/reading/median.hpp"

#include <cmath>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "support/bench_csv.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;

TEST_CASE("spikes: every trailing row of the running-median table is reproduced", "[reading][reference]") {
  const support::Csv csv{"12_hampel_running_median.csv"};
  std::map<std::pair<std::string, int>, Hampel> filters;
  int checked = 0;
  for (std::size_t row = 0; row < csv.size(); ++row) {
    if (csv.at(row, "window_kind") != "trailing") continue;
    const int window = std::stoi(csv.at(row, "window_length"));
    const auto filter = filters.try_emplace({csv.at(row, "series"), window}, window).first;
    const auto verdict = filter->second.judge(Metres{std::stod(csv.at(row, "x"))});
    INFO(csv.at(row, "series") << ", window " << window << ", index " << csv.at(row, "index"));
    CHECK(filter->second.held() == std::stoi(csv.at(row, "points_in_window")));
    CHECK(verdict.spike == (csv.at(row, "outlier_flag") == "1"));
    // Half an ulp of each of two subtractions of numbers up to 5.
    CHECK(std::abs(verdict.median.value() - std::stod(csv.at(row, "running_median"))) < 1e-15);
    CHECK(std::abs(verdict.deviation.value() - std::stod(csv.at(row, "mad"))) < 1e-15);
    ++checked;
  }
  CHECK(checked == 160);
}

TEST_CASE("spikes: any window gives what the plain definition gives", "[reading][property]") {
  const std::uint64_t seed = support::seed_or(31);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 300; ++round) {
    const int window = 3 + 2 * dice.roll(15);
    Hampel filter{window};
    std::vector<double> all;
    for (int i = 0; i < 80; ++i) {
      if (dice.one_in(50)) {
        filter.forget();
        all.clear();
      }
      all.push_back(dice.one_in(2) ? dice.roll(5) - 2.0 : dice.between(-3.0, 9.0));  // ties and none
      const auto verdict = filter.judge(Metres{all.back()});
      const auto first = all.size() > static_cast<std::size_t>(window) ? all.end() - window : all.begin();
      std::vector<double> held(first, all.end());
      const double middle = median(held);
      INFO("round " << round << ", window " << window << ", reading " << i);
      REQUIRE(verdict.median.value() == middle);
      REQUIRE(verdict.deviation.value() == median_deviation(held, middle));
      REQUIRE(verdict.spike == (std::abs(all.back() - middle) > 3.0 * 1.4826 * verdict.deviation.value()));
    }
  }
}

TEST_CASE("spikes: the floor keeps a hair's difference from being a spike, and a true one a spike",
          "[reading][spikes]") {
  const Metres millimetre{0.001};
  Hampel bare{7};
  Hampel floored{7, millimetre};
  for (int i = 0; i < 7; ++i) {
    bare.judge(Metres{1.0});
    floored.judge(Metres{1.0});
  }
  CHECK(bare.judge(Metres{1.0001}).spike);
  CHECK_FALSE(floored.judge(Metres{1.0001}).spike);
  // Still seven equal readings but one: the limit is 3 · 1.4826 · 1 mm on either side.
  CHECK_FALSE(Hampel{floored}.judge(Metres{1.0 + 0.00444}).spike);
  CHECK(Hampel{floored}.judge(Metres{1.0 + 0.00446}).spike);
  CHECK_FALSE(Hampel{floored}.judge(Metres{1.0 - 0.00444}).spike);
  CHECK(Hampel{floored}.judge(Metres{1.0 - 0.00446}).spike);
}

TEST_CASE("spikes: three wild readings in seven are caught, a step is believed with the fourth",
          "[reading][spikes]") {
  Hampel filter{7, Metres{0.002}};
  for (int i = 0; i < 7; ++i)
    filter.judge(Metres{1.0});
  CHECK(filter.judge(Metres{2.3}).spike);
  CHECK(filter.judge(Metres{2.3}).spike);
  CHECK(filter.judge(Metres{2.3}).spike);
  CHECK_FALSE(filter.judge(Metres{2.3}).spike);
}

TEST_CASE("spikes: a number that is none is a spike and leaves the window alone", "[reading][edges]") {
  Hampel filter{5, Metres{0.001}};
  for (int i = 0; i < 5; ++i)
    filter.judge(Metres{1.0});
  CHECK(filter.judge(Metres{std::nan("")}).spike);
  CHECK(filter.judge(Metres{INFINITY}).spike);
  CHECK(filter.held() == 5);
  CHECK_FALSE(filter.judge(Metres{1.0}).spike);
}

TEST_CASE("spikes: only windows of an odd count within bounds exist", "[reading][edges]") {
  CHECK(Hampel{}.window() == 7);
  CHECK(Hampel{-4}.window() == 3);
  CHECK(Hampel{3}.window() == 3);
  CHECK(Hampel{4}.window() == 5);
  CHECK(Hampel{31}.window() == 31);
  CHECK(Hampel{1000}.window() == 31);
}

TEST_CASE("spikes: a forgotten window judges nothing by what came before", "[reading][spikes]") {
  Hampel filter{5, Metres{0.001}};
  for (int i = 0; i < 8; ++i)
    filter.judge(Metres{1.0});
  filter.forget();
  CHECK_FALSE(filter.judge(Metres{2.0}).spike);
  CHECK_FALSE(filter.judge(Metres{2.0}).spike);
  CHECK(filter.held() == 2);
}

TEST_CASE("spikes: a steady rise is never a spike, however fast", "[reading][property]") {
  for (const int window : {3, 5, 7, 9, 31}) {
    Hampel filter{window};
    for (int i = 0; i < 100; ++i) {
      INFO("window " << window << ", reading " << i);
      CHECK_FALSE(filter.judge(Metres{0.01 * i}).spike);
    }
  }
}

TEST_CASE("spikes: with the stated floor no true reading is one, wherever the water turns",
          "[reading][property]") {
  const std::uint64_t seed = support::seed_or(12);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 50; ++round) {
    const int window = 3 + 2 * dice.roll(15);
    const double step = dice.between(0.0, 0.01);
    const double noise = dice.between(0.0001, 0.01);
    Hampel filter{window, spike_floor(window, Metres{step}, Metres{noise})};
    double level = 1.0;
    for (int i = 0; i < 500; ++i) {
      level += step * (dice.one_in(2) ? 1.0 : -1.0);
      INFO("round " << round << ", window " << window << ", reading " << i);
      CHECK_FALSE(filter.judge(Metres{level + dice.between(-noise, noise)}).spike);
    }
  }
}
