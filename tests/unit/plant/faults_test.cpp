#include <chrono>
#include <set>

#include "support/catch.hpp"
#include "support/plant_bench.hpp"

using namespace stillwell;
using namespace stillwell::plant;
using namespace std::chrono_literals;
using namespace stillwell::literals;
using namespace support;

namespace {

Target gauge(GaugeIndex at) {
  return {Part::gauge, at.at};
}
Target contact(ContactIndex at) {
  return {Part::contact, at.at};
}
Target input(SwitchIndex at) {
  return {Part::input, at.at};
}

void order(Plant& plant, Target target, FaultKind kind, Amount amount = {}) {
  REQUIRE(plant.order({target, kind, amount, plant.now(), {}}));
}

}  // namespace

TEST_CASE("gauge: a distance gauge looks down, a depth gauge feels the water above it", "[plant][gauge]") {
  Plant plant = bench_plant();  // both tanks stand at 50 cm
  CHECK(plant.sound(kHeaderTop).value() == Approx(1.0));
  CHECK(plant.sound(kBoreDepth).value() == Approx(0.3));
  plant.place(kBoreWell, 0.1_m);  // below the sensor
  CHECK(plant.sound(kBoreDepth).value() == 0.0);
}

TEST_CASE("gauge: a ripple moves the reading by about its size and tells the same story twice",
          "[plant][gauge]") {
  auto scenario = bench_scenario();
  scenario.ripple = 0.01_m;
  Plant plant{bench_model(), scenario};
  Plant twin{bench_model(), scenario};
  std::set<double> seen;
  for (int i = 0; i < 200; ++i) {
    plant.advance(137ms);
    twin.advance(137ms);
    const double reading = plant.sound(kHeaderTop).value();
    REQUIRE(reading == twin.sound(kHeaderTop).value());
    REQUIRE(reading == Approx(1.0).margin(0.018));  // 0.6 of swell and six deviations of 0.2
    seen.insert(reading);
  }
  CHECK(seen.size() > 150);
  CHECK(*seen.rbegin() - *seen.begin() > 0.008);
}

TEST_CASE("gauge: frozen repeats the last word while the water moves", "[plant][fault]") {
  Plant plant = bench_plant();
  const Metres before = plant.sound(kHeaderTop);
  order(plant, gauge(kHeaderTop), FaultKind::frozen);
  plant.place(kHeader, 0.9_m);
  CHECK(plant.sound(kHeaderTop) == before);
  plant.clear(gauge(kHeaderTop));
  CHECK(plant.sound(kHeaderTop).value() == Approx(0.6));
}

TEST_CASE("gauge: stuck says its number", "[plant][fault]") {
  Plant plant = bench_plant();
  order(plant, gauge(kHeaderTop), FaultKind::stuck, 0.75_m);
  CHECK(plant.sound(kHeaderTop) == 0.75_m);
}

TEST_CASE("gauge: one reading in four is a spike, up and down in turn", "[plant][fault]") {
  Plant plant = bench_plant();
  order(plant, gauge(kHeaderTop), FaultKind::spike, 0.4_m);
  std::vector<double> readings;
  for (int i = 0; i < 8; ++i)
    readings.push_back(plant.sound(kHeaderTop).value());
  const std::vector<double> expected{1.0, 1.0, 1.0, 0.6, 1.0, 1.0, 1.0, 1.4};
  for (std::size_t i = 0; i < expected.size(); ++i)
    CHECK(readings[i] == Approx(expected[i]));
}

TEST_CASE("gauge: noise scatters by its size", "[plant][fault]") {
  Plant plant = bench_plant();
  order(plant, gauge(kHeaderTop), FaultKind::noise, 0.05_m);
  double sum = 0.0;
  double squares = 0.0;
  constexpr int kCount = 4000;
  for (int i = 0; i < kCount; ++i) {
    const double off = plant.sound(kHeaderTop).value() - 1.0;
    sum += off;
    squares += off * off;
  }
  // Five standard errors of a mean and of a deviation at this count.
  CHECK(sum / kCount == Approx(0.0).margin(0.004));
  CHECK(std::sqrt(squares / kCount) == Approx(0.05).margin(0.003));
}

TEST_CASE("contact: the coil pulls the contactor in, and the feedback shows it", "[plant][contact]") {
  Plant plant = bench_plant();
  CHECK_FALSE(plant.closed(kLiftRunning));
  plant.write(kLiftContact, true);
  CHECK(plant.contactor(kLiftContact));
  CHECK(plant.closed(kLiftRunning));
  plant.write(kLiftContact, false);
  CHECK_FALSE(plant.closed(kLiftRunning));
}

TEST_CASE("contact: welded stays closed while its coil is off, and the feedback shows it", "[plant][fault]") {
  Plant plant = bench_plant();
  plant.write(kLiftContact, true);
  order(plant, contact(kLiftContact), FaultKind::welded);
  plant.write(kLiftContact, false);
  CHECK_FALSE(plant.coil(kLiftContact));
  CHECK(plant.turning(kLift));
  CHECK(plant.closed(kLiftRunning));
  plant.clear(contact(kLiftContact));
  CHECK_FALSE(plant.turning(kLift));
  CHECK_FALSE(plant.closed(kLiftRunning));
}

TEST_CASE("contact: an open circuit lets the coil close and the motor stand", "[plant][fault]") {
  Plant plant = bench_plant();
  order(plant, contact(kLiftContact), FaultKind::open_circuit);
  plant.write(kLiftContact, true);
  CHECK(plant.coil(kLiftContact));
  CHECK_FALSE(plant.turning(kLift));
  CHECK_FALSE(plant.closed(kLiftRunning));
}

TEST_CASE("contact: a write that is ignored or falsely echoed moves nothing", "[plant][fault]") {
  for (const FaultKind kind : {FaultKind::ignores_writes, FaultKind::lying_echo}) {
    Plant plant = bench_plant();
    plant.write(kLiftContact, true);
    order(plant, contact(kLiftContact), kind);
    plant.write(kLiftContact, false);
    CHECK(plant.coil(kLiftContact));
    CHECK(plant.turning(kLift));
  }
}

TEST_CASE("contact: a drop-out timer that is not renewed lets the coil fall", "[plant][contact]") {
  Plant plant = bench_plant();
  plant.hold(kDrainContact, 0s);
  plant.write(kDrainContact, true);
  CHECK_FALSE(plant.coil(kDrainContact));  // never armed
  plant.hold(kDrainContact, 5s);
  plant.write(kDrainContact, true);
  plant.advance(4s);
  CHECK(plant.coil(kDrainContact));
  CHECK(plant.held(kDrainContact) == 1s);
  plant.hold(kDrainContact, 5s);
  plant.advance(4s);
  CHECK(plant.coil(kDrainContact));
  plant.advance(1s);
  CHECK_FALSE(plant.coil(kDrainContact));
  CHECK_FALSE(plant.turning(kDrain));
}

TEST_CASE("contact: every change of the main circuit is told once, with its time", "[plant][contact]") {
  Plant plant = bench_plant();
  plant.advance(2s);
  plant.write(kLiftContact, true);
  plant.write(kLiftContact, true);
  plant.advance(1s);
  plant.write(kLiftContact, false);
  const auto changes = plant.take_changes();
  REQUIRE(changes.size() == 2);
  CHECK(changes[0].contact == kLiftContact);
  CHECK(changes[0].on);
  CHECK(changes[0].at == 2s);
  CHECK_FALSE(changes[1].on);
  CHECK(changes[1].at == 3s);
  CHECK(plant.take_changes().empty());
}

TEST_CASE("float: swings at its level with a little travel; normally closed, it opens when on",
          "[plant][switch]") {
  Plant plant = bench_plant();
  CHECK(plant.closed(kHeaderFloat));
  plant.place(kHeader, 0.95_m);
  plant.advance(100ms);
  CHECK_FALSE(plant.closed(kHeaderFloat));
  plant.place(kHeader, 0.945_m);  // within its travel: as it was
  plant.advance(100ms);
  CHECK_FALSE(plant.closed(kHeaderFloat));
  plant.place(kHeader, 0.93_m);
  plant.advance(100ms);
  CHECK(plant.closed(kHeaderFloat));
}

TEST_CASE("switch: a broken wire is an open circuit, a frozen one keeps its position", "[plant][fault]") {
  Plant plant = bench_plant();
  order(plant, input(kHeaderFloat), FaultKind::broken_wire);
  CHECK_FALSE(plant.closed(kHeaderFloat));
  plant.clear(input(kHeaderFloat));
  order(plant, input(kHeaderFloat), FaultKind::frozen);
  plant.place(kHeader, 0.99_m);
  plant.advance(1s);
  CHECK(plant.closed(kHeaderFloat));
}

TEST_CASE("fault: begins and ends by the plant's own time", "[plant][fault]") {
  auto scenario = bench_scenario();
  scenario.faults = {{gauge(kHeaderTop), FaultKind::stuck, 0.75_m, 10s, 12s}};
  Plant plant{bench_model(), scenario};
  plant.advance(9900ms);
  CHECK(plant.sound(kHeaderTop) != 0.75_m);
  plant.advance(100ms);
  CHECK(plant.sound(kHeaderTop) == 0.75_m);
  plant.advance(2s);
  CHECK(plant.sound(kHeaderTop) != 0.75_m);
}

TEST_CASE("fault: a welded contact that heals by itself is told as a change", "[plant][fault]") {
  auto scenario = bench_scenario();
  scenario.faults = {{contact(kLiftContact), FaultKind::welded, {}, 1s, 2s}};
  Plant plant{bench_model(), scenario};
  plant.advance(3s);
  const auto changes = plant.take_changes();
  REQUIRE(changes.size() == 2);
  CHECK(changes[0].on);
  CHECK_FALSE(changes[1].on);
}

TEST_CASE("fault: there is a bound, and an order repeated is no second fault", "[plant][fault]") {
  Plant plant = bench_plant();
  for (int i = 0; i < 1000; ++i)
    REQUIRE(plant.order({gauge(kHeaderTop), FaultKind::silence, {}, plant.now(), {}}));
  int taken = 0;
  for (int i = 0; i < 1000; ++i) {
    taken += plant.order({gauge(kHeaderTop), FaultKind::silence, {}, plant.now() + 1h, {}}) ? 1 : 0;
  }
  CHECK(taken == 255);
}

TEST_CASE("fault table: every row is in its place, befalls something and is found by its word",
          "[plant][fault]") {
  for (const FaultRow& row : fault_table()) {
    CHECK(&row_of(row.kind) == &row);
    CHECK(row.befalls != 0);
    CHECK_FALSE(row.text.empty());
    const auto found = find_fault(row.word);
    REQUIRE(found);
    CHECK(*found == row.kind);
  }
  CHECK_FALSE(find_fault("rust"));
}

TEST_CASE("fault: what it cannot befall is refused with what it can", "[plant][fault]") {
  const auto target = find_target(bench_model(), FaultKind::welded, "header");
  REQUIRE_FALSE(target);
  CHECK(target.error() == "'welded' befalls a contact; none is named 'header'");
  CHECK(find_target(bench_model(), FaultKind::welded, "lift-contact").value() == contact(kLiftContact));
  CHECK_FALSE(parse_amount(FaultKind::stuck, ""));
  CHECK_FALSE(parse_amount(FaultKind::silence, "3 cm"));
  CHECK_FALSE(parse_amount(FaultKind::late, "3 cm"));
  CHECK(std::get<Duration>(parse_amount(FaultKind::late, "1.5 s").value()) == 1500ms);
}
