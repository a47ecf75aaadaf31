#include <chrono>

#include "support/catch.hpp"
#include "support/plant_bench.hpp"

using namespace stillwell;
using namespace stillwell::plant;
using namespace std::chrono_literals;
using namespace stillwell::literals;
using namespace support;

namespace {

constexpr Target kTheLift{Part::pump, kLift.at};

}  // namespace

TEST_CASE("flow switch: follows the water, not the motor", "[plant][switch]") {
  auto model = bench_model();
  const SwitchIndex lift_flow{model.switches.size()};
  model.switches.push_back({"lift-flow", {}});
  model.pumps[kLift.at].dry_run.flow = FlowGuard{lift_flow, 5s};
  auto scenario = still_water(model);
  scenario.tanks[kCistern.at].intake = 0.3_m;
  Plant plant{model, scenario};
  plant.advance(1s);
  CHECK_FALSE(plant.closed(lift_flow));
  plant.write(kLiftContact, true);
  plant.advance(1s);
  CHECK(plant.closed(lift_flow));
  plant.place(kCistern, 0.2_m);  // below the foot of its suction
  plant.advance(1s);
  CHECK_FALSE(plant.closed(lift_flow));
  plant.set_inflow(kCistern, LitresPerSecond{0.4});
  plant.place(kCistern, 0.3_m);  // less than a quarter of its two litres a second comes after
  plant.advance(1s);
  CHECK(plant.flow(kLift).value() == Approx(0.4));
  CHECK_FALSE(plant.closed(lift_flow));
  plant.place(kCistern, 0.5_m);
  plant.advance(1s);
  CHECK(plant.closed(lift_flow));
  plant.write(kLiftContact, false);
  plant.advance(1s);
  CHECK_FALSE(plant.closed(lift_flow));
}

TEST_CASE("flow switch: of a pump that can move nothing it never closes", "[plant][switch]") {
  auto model = bench_model();
  model.pumps[kDrain.at].flow_rate.reset();
  model.pumps[kDrain.at].dry_run.flow = FlowGuard{kYardButton, 5s};
  Plant plant{model, still_water(model)};
  plant.write(kDrainContact, true);
  plant.advance(1s);
  CHECK_FALSE(plant.closed(kYardButton));
}

TEST_CASE("pump: with an airlock it turns, shows its feedback and moves no water", "[plant][fault]") {
  Plant plant = bench_plant();
  plant.write(kLiftContact, true);
  REQUIRE(plant.order({kTheLift, FaultKind::airlock, {}, plant.now(), {}}));
  plant.advance(10s);
  CHECK(plant.turning(kLift));
  CHECK(plant.closed(kLiftRunning));
  CHECK(plant.flow(kLift).value() == 0.0);
  CHECK(plant.level(kHeader) == 0.5_m);
  plant.clear(kTheLift);
  plant.advance(10s);
  CHECK(plant.level(kHeader).value() == Approx(0.52));
}

TEST_CASE("isolator: open, the motor stands behind a welded contactor whose feedback still shows it closed",
          "[plant][contact]") {
  auto model = bench_model();
  const ContactIndex isolator{model.contacts.size()};
  model.contacts.push_back({"lift-isolator"});
  model.pumps[kLift.at].isolator = Isolator{isolator, 5s};
  Plant plant{model, bench_scenario()};
  plant.write(kLiftContact, true);
  plant.advance(1s);
  CHECK_FALSE(plant.turning(kLift));
  plant.write(isolator, true);
  REQUIRE(plant.order({{Part::contact, kLiftContact.at}, FaultKind::welded, {}, plant.now(), {}}));
  plant.write(kLiftContact, false);
  plant.advance(1s);
  CHECK(plant.turning(kLift));
  plant.write(isolator, false);
  plant.advance(1s);
  CHECK_FALSE(plant.turning(kLift));
  CHECK(plant.flow(kLift).value() == 0.0);
  CHECK(plant.closed(kLiftRunning));
}

TEST_CASE("valve: closed, it holds back the water of the pump that needs it; a pump does not",
          "[plant][water]") {
  for (const Drive drive : {Drive::valve, Drive::pump}) {
    auto model = bench_model();
    model.pumps[kBore.at].drive = drive;
    model.pumps[kLift.at].needs = {kBore};
    Plant plant{model, bench_scenario()};
    plant.write(kLiftContact, true);
    plant.advance(1s);
    CHECK(plant.flow(kLift).value() == Approx(drive == Drive::valve ? 0.0 : 2.0));
    plant.write(kBoreContact, true);
    plant.advance(1s);
    CHECK(plant.flow(kLift).value() == Approx(2.0));
  }
}
