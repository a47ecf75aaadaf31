// What a meter in the supply of a motor shows: with water, without, standing, and lying.

#include <chrono>

#include "support/catch.hpp"
#include "support/plant_bench.hpp"

using namespace stillwell;
using namespace stillwell::plant;
using namespace std::chrono_literals;
using namespace stillwell::literals;
using namespace support;

namespace {

constexpr MeterIndex kLiftPower{0};
constexpr MeterIndex kSparePower{1};
const Target kTheMeter{Part::meter, kLiftPower.at};
constexpr MotorLoad kWet{900.0};
constexpr MotorLoad kDry{250.0};
constexpr MotorLoad kNothing{0.0};

/// The bench with a meter in the lift's supply, and one that hangs in none; the lift cannot suck below 8 cm.
Plant metered() {
  Model model = bench_model();
  model.meters = {{"lift-power", {}}, {"spare-power", {}}};
  Scenario scenario = bench_scenario();
  scenario.supplies = {{kLiftPower, kLift, kWet, kDry}};
  scenario.tanks[kCistern.at].intake = 0.08_m;
  return {model, scenario};
}

Plant running() {
  Plant plant = metered();
  plant.write(kLiftContact, true);
  plant.advance(100ms);
  return plant;
}

void order(Plant& plant, FaultKind kind, Amount amount = {}) {
  REQUIRE(plant.order({kTheMeter, kind, amount, plant.now(), {}}));
  plant.advance(100ms);
}

}  // namespace

TEST_CASE("meter: nothing while the motor stands, its load while it moves water", "[plant][meter]") {
  Plant plant = metered();
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kNothing);
  plant.write(kLiftContact, true);
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kWet);
  plant.write(kLiftContact, false);
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kNothing);
}

TEST_CASE("meter: less while its suction is dry", "[plant][meter]") {
  Plant plant = running();
  plant.place(kCistern, 0.05_m);
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kDry);
  plant.place(kCistern, 0.5_m);
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kWet);
}

TEST_CASE("meter: a trickle into the suction does not make it wet", "[plant][meter]") {
  Plant plant = running();
  plant.place(kCistern, 0.05_m);
  plant.set_inflow(kCistern, LitresPerSecond{0.5});  // the lift would move 2 L/s
  plant.advance(10min);
  CHECK(plant.flow(kLift).value() == Approx(0.5));
  CHECK(plant.load(kLiftPower) == kDry);
}

TEST_CASE("meter: it shows the motor, and not the coil", "[plant][meter][fault]") {
  Plant plant = running();
  REQUIRE(plant.order({{Part::contact, kLiftContact.at}, FaultKind::open_circuit, {}, plant.now(), {}}));
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kNothing);
  plant.clear({Part::contact, kLiftContact.at});
  REQUIRE(plant.order({{Part::contact, kLiftContact.at}, FaultKind::welded, {}, plant.now(), {}}));
  plant.write(kLiftContact, false);
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kWet);
}

TEST_CASE("meter: one that hangs in no supply shows nothing", "[plant][meter]") {
  const Plant plant = running();
  CHECK(plant.load(kSparePower) == kNothing);
}

TEST_CASE("meter: one that misreads shows a share of what the motor takes", "[plant][meter][fault]") {
  Plant plant = running();
  order(plant, FaultKind::misreads, parse_amount(FaultKind::misreads, "40 %").value());
  CHECK(plant.load(kLiftPower).value() == Approx(360.0));
  order(plant, FaultKind::misreads, parse_amount(FaultKind::misreads, "").value());
  CHECK(plant.load(kLiftPower) == kNothing);
  plant.clear(kTheMeter);
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kWet);
}

TEST_CASE("meter: a frozen one shows what it showed, also of a motor that stands", "[plant][meter][fault]") {
  Plant plant = running();
  order(plant, FaultKind::frozen);
  plant.write(kLiftContact, false);
  plant.advance(1s);
  CHECK(plant.load(kLiftPower) == kWet);
  plant.clear(kTheMeter);
  plant.advance(100ms);
  CHECK(plant.load(kLiftPower) == kNothing);
}

TEST_CASE("fault: a meter is found by its name, and its share is a percentage", "[plant][meter][fault]") {
  const Plant plant = metered();
  CHECK(find_target(plant.model(), FaultKind::misreads, "lift-power").value() == kTheMeter);
  CHECK(find_target(plant.model(), FaultKind::silence, "lift-power").value() == kTheMeter);
  const auto target = find_target(plant.model(), FaultKind::misreads, "lift-contact");
  REQUIRE_FALSE(target);
  CHECK(target.error() == "'misreads' befalls a meter; none is named 'lift-contact'");
  CHECK_FALSE(parse_amount(FaultKind::misreads, "350 W"));
  CHECK_FALSE(parse_amount(FaultKind::misreads, "-40 %"));
}
