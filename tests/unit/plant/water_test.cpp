#include <chrono>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/plant_bench.hpp"

using namespace stillwell;
using namespace stillwell::plant;
using namespace std::chrono_literals;
using namespace stillwell::literals;
using namespace support;

namespace {

constexpr double kDrop = 1e-6;  // litres; rounding over many steps

/// Everything that came minus everything that went, of the whole site: what must stand in its tanks.
double unbalanced(const Plant& plant, const std::vector<double>& start) {
  double worst = 0.0;
  for (std::size_t at = 0; at < start.size(); ++at) {
    const Basin& basin = plant.basin(TankIndex{at});
    const double expected = start[at] + basin.ledger().balance().value();
    worst = std::max(worst, std::abs(basin.volume().value() - expected));
  }
  return worst;
}

}  // namespace

TEST_CASE("water: the lift pump moves its flow from the cistern to the header", "[plant][water]") {
  Plant plant = bench_plant();
  plant.write(kLiftContact, true);
  plant.advance(30s);
  CHECK(plant.basin(kHeader).volume().value() == Approx(560.0));
  CHECK(plant.basin(kCistern).volume().value() == Approx(440.0));
  CHECK(plant.flow(kLift).value() == Approx(2.0));
  plant.write(kLiftContact, false);
  plant.advance(30s);
  CHECK(plant.level(kHeader).value() == Approx(0.56));
  CHECK(plant.flow(kLift).value() == 0.0);
}

TEST_CASE("water: a pump whose suction fell below its intake turns and moves nothing", "[plant][water]") {
  auto scenario = bench_scenario();
  scenario.tanks[kCistern.at].intake = 0.3_m;
  Plant plant{bench_model(), scenario};
  plant.write(kLiftContact, true);
  plant.advance(200s);  // 200 L stand above the intake: enough for 100 s
  CHECK(plant.level(kCistern).value() == Approx(0.3));
  CHECK(plant.level(kHeader).value() == Approx(0.7));
  CHECK(plant.turning(kLift));
  CHECK(plant.flow(kLift).value() == 0.0);
}

TEST_CASE("water: what rises above the brim spills", "[plant][water]") {
  auto scenario = bench_scenario();
  scenario.tanks[kSump.at].inflow = Flow::constant(LitresPerSecond{10.0});
  Plant plant{bench_model(), scenario};
  plant.advance(60s);
  const Basin& sump = plant.basin(kSump);
  CHECK(plant.level(kSump).value() == Approx(1.05));  // half of the 10 cm margin above the full line
  CHECK(sump.ledger().spilled.value() == Approx(50.0));
}

TEST_CASE("water: the house draws down to the outlet and no farther", "[plant][water]") {
  auto scenario = bench_scenario();
  scenario.tanks[kHeader.at].draw = Flow::constant(LitresPerSecond{10.0});
  Plant plant{bench_model(), scenario};
  plant.advance(60s);
  CHECK(plant.level(kHeader).value() == Approx(0.1));
  CHECK(plant.basin(kHeader).ledger().drawn.value() == Approx(400.0));
}

TEST_CASE("water: a drain pump without a receiver sends it away", "[plant][water]") {
  Plant plant = bench_plant();
  plant.write(kDrainContact, true);
  plant.advance(100s);
  CHECK(plant.level(kSump).value() == Approx(0.2));
  CHECK(plant.basin(kSump).ledger().pumped_out.value() == Approx(300.0));
}

TEST_CASE("water: flows change in steps and begin anew with the cycle", "[plant][water]") {
  auto scenario = bench_scenario();
  scenario.cycle = 20s;
  scenario.tanks[kCistern.at].inflow = {{{5s, LitresPerSecond{1.0}}, {10s, LitresPerSecond{0.0}}}};
  Plant plant{bench_model(), scenario};
  plant.advance(5s);
  CHECK(plant.basin(kCistern).volume().value() == Approx(500.0));
  plant.advance(10s);
  CHECK(plant.basin(kCistern).volume().value() == Approx(505.0));
  plant.advance(25s);  // the next cycle, and no more
  CHECK(plant.basin(kCistern).volume().value() == Approx(510.0));
}

TEST_CASE("water: an order of dry empties a tank within seconds", "[plant][water]") {
  Plant plant = bench_plant();
  REQUIRE(plant.order({{Part::tank, kCistern.at}, FaultKind::dry, {}, plant.now(), {}}));
  plant.advance(20s);
  CHECK(plant.level(kCistern).value() == Approx(0.0).margin(1e-9));
  CHECK(plant.basin(kCistern).ledger().vanished.value() == Approx(500.0));
}

TEST_CASE("water: none is made and none is lost, whatever is switched", "[plant][water][property]") {
  const auto seed = seed_or(20260301);
  INFO("seed " << seed);
  Dice dice{seed};
  auto scenario = bench_scenario();
  std::vector<double> start;
  for (auto& tank : scenario.tanks) {
    tank.start = Metres{dice.between(0.0, 1.0)};
    tank.intake = Metres{dice.between(0.0, 0.2)};
    tank.inflow = Flow::constant(LitresPerSecond{dice.between(0.0, 4.0)});
    tank.draw = Flow::constant(LitresPerSecond{dice.between(0.0, 4.0)});
    start.push_back(tank.start.value() * 1000.0);
  }
  Plant plant{bench_model(), scenario};
  for (int turn = 0; turn < 500; ++turn) {
    plant.write(ContactIndex{static_cast<std::size_t>(dice.roll(3))}, dice.one_in(2));
    if (dice.one_in(20))
      plant.place(TankIndex{static_cast<std::size_t>(dice.roll(4))}, Metres{dice.between(0, 1)});
    plant.advance(std::chrono::milliseconds{dice.roll(3000)});
    REQUIRE(unbalanced(plant, start) < kDrop);
    const auto& cistern = plant.basin(kCistern).ledger();
    const auto& header = plant.basin(kHeader).ledger();
    REQUIRE(std::abs(cistern.pumped_out.value() - header.pumped_in.value()) < kDrop);
    for (std::size_t at = 0; at < start.size(); ++at) {
      REQUIRE(plant.level(TankIndex{at}) >= 0.0_m);
      REQUIRE(plant.level(TankIndex{at}) <= 1.0501_m);
    }
  }
}

TEST_CASE("water: the same calls tell the same story, and a split of time changes no more than a drop",
          "[plant][water]") {
  Plant once = bench_plant();
  Plant again = bench_plant();
  Plant split = bench_plant();
  for (Plant* plant : {&once, &again, &split})
    plant->write(kLiftContact, true);
  once.advance(60s);
  again.advance(60s);
  for (int i = 0; i < 600; ++i)
    split.advance(100ms);
  CHECK(once.level(kHeader) == again.level(kHeader));
  CHECK(split.basin(kHeader).volume().value() == Approx(once.basin(kHeader).volume().value()).margin(kDrop));
}
