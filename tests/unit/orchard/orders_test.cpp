#include "stillwell/orchard/orders.hpp"

#include <chrono>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/plant_bench.hpp"

using namespace stillwell;
using namespace stillwell::orchard;
using namespace stillwell::literals;
using namespace std::chrono_literals;
using namespace support;
using plant::FaultKind;
using plant::Part;

namespace {

bool is_ok(const std::string& answer) {
  return answer.starts_with("ok ");
}

}  // namespace

TEST_CASE("orders: a fault with a size and an end", "[orchard][orders]") {
  auto plant = bench_plant();
  CHECK(is_ok(carry_out("fault header-gauge stuck 1.2 m for 30 s", plant)));
  CHECK(plant.sound(kHeaderTop) == 1.2_m);
  plant.advance(29s);
  CHECK(plant.sound(kHeaderTop) == 1.2_m);
  plant.advance(1s);
  CHECK(plant.sound(kHeaderTop) != 1.2_m);
}

TEST_CASE("orders: a fault without an end lasts until it is cleared", "[orchard][orders]") {
  auto plant = bench_plant();
  CHECK(is_ok(carry_out("fault shed unplugged", plant)));
  plant.advance(24h);
  CHECK(plant.fault({Part::line, 0}, FaultKind::unplugged) != nullptr);
  CHECK(is_ok(carry_out("clear shed", plant)));
  CHECK(plant.fault({Part::line, 0}, FaultKind::unplugged) == nullptr);
}

TEST_CASE("orders: levels and flows", "[orchard][orders]") {
  auto plant = bench_plant();
  CHECK(carry_out("set header 40 %", plant) == "ok header: 0.400 m");
  CHECK(carry_out("set cistern 25cm", plant) == "ok cistern: 0.250 m");
  CHECK(carry_out("inflow sump 60 L/min", plant) == "ok sump: inflow 60.0 L/min");
  CHECK(carry_out("draw header 120 L/min\r", plant) == "ok header: draw 120.0 L/min");
  plant.advance(10s);
  CHECK(plant.level(kSump).value() == Approx(0.51));
  CHECK(plant.level(kHeader).value() == Approx(0.38));
}

TEST_CASE("orders: a button is pressed for as long as it is said", "[orchard][orders]") {
  auto plant = bench_plant();
  CHECK_FALSE(plant.closed(kYardButton));
  CHECK(is_ok(carry_out("press yard-button for 4 s", plant)));
  plant.advance(3900ms);
  CHECK(plant.closed(kYardButton));
  plant.advance(200ms);
  CHECK_FALSE(plant.closed(kYardButton));
  CHECK(is_ok(carry_out("press yard-button", plant)));
  plant.advance(500ms);
  CHECK(plant.closed(kYardButton));
  plant.advance(600ms);
  CHECK_FALSE(plant.closed(kYardButton));
}

TEST_CASE("orders: a selector stays where it is turned", "[orchard][orders]") {
  auto model = bench_model();
  model.pumps[kBore.at].selector.off = kYardButton;
  plant::Plant plant{model, bench_scenario()};
  CHECK(carry_out("turn yard-button on", plant) == "ok yard-button: on");
  plant.advance(1h);
  CHECK(plant.closed(kYardButton));
  CHECK(carry_out("turn yard-button off", plant) == "ok yard-button: off");
  plant.advance(100ms);
  CHECK_FALSE(plant.closed(kYardButton));
}

TEST_CASE("orders: whatever is wrong is answered with what is right", "[orchard][orders]") {
  auto plant = bench_plant();
  for (const char* order : {"",
                            "   ",
                            "dance",
                            "fault",
                            "fault header-gauge",
                            "fault header-gauge rust",
                            "fault nobody silence",
                            "fault header-gauge stuck",
                            "fault header-gauge stuck 1.2",
                            "fault header-gauge silence 3 cm",
                            "fault header-gauge silence for",
                            "fault header-gauge silence for ever",
                            "fault header welded",
                            "clear",
                            "clear nobody",
                            "set header",
                            "set header 40",
                            "set nobody 40 %",
                            "set header -3 cm",
                            "inflow header 5 L",
                            "draw header -5 L/min",
                            "set header 40 % now",
                            "press",
                            "press nobody",
                            "press lift-running",
                            "press yard-button now",
                            "turn",
                            "turn lift-running on",
                            "turn nobody on",
                            "turn lift-running",
                            "turn lift-running sideways",
                            "turn lift-running on now",
                            "fault header airlock",
                            "press yard-button for",
                            "press yard-button for ever"}) {
    const std::string answer = carry_out(order, plant);
    INFO("'" << order << "' → " << answer);
    CHECK(answer.starts_with("error "));
    CHECK(answer.size() > 12);
  }
  CHECK(carry_out(std::string(300, 'x'), plant) == "error an order has at most 256 characters");
  CHECK(plant.level(kHeader) == 0.5_m);
}

TEST_CASE("orders: random lines are answered in one line", "[orchard][orders][property]") {
  const auto seed = seed_or(3);
  INFO("seed " << seed);
  Dice dice{seed};
  auto plant = bench_plant();
  const std::vector<std::string> words{"fault",        "clear",   "set",  "draw",    "show",     "header",
                                       "header-gauge", "silence", "late", "for",     "30 s",     "40 %",
                                       "\xFF",         "-1",      "shed", "5 L/min", "unplugged"};
  for (int turn = 0; turn < 5000; ++turn) {
    std::string order;
    for (int i = dice.roll(6); i >= 0; --i)
      order += words[static_cast<std::size_t>(dice.roll(17))] + " ";
    const std::string answer = carry_out(order, plant);
    REQUIRE((is_ok(answer) || answer.starts_with("error ")));
    REQUIRE(answer.find('\n') == std::string::npos);
  }
}

TEST_CASE("orders: show tells the truth of a plant whose instruments lie", "[orchard][orders]") {
  auto plant = bench_plant();
  plant.write(kLiftContact, true);
  plant.advance(10s);
  REQUIRE(is_ok(carry_out("fault header-gauge stuck 1.2 m", plant)));
  const std::string truth = carry_out("show", plant);
  CHECK(
      truth.starts_with("ok {\"at_s\":10.000,\"tanks\":{\"header\":{\"level_m\":0.5200,\"percent\":52.00,"));
  CHECK(truth.find("\"lift\":{\"turning\":true,\"flow_l_min\":120.00}") != std::string::npos);
  CHECK(truth.find("\"lift-contact\":{\"coil\":true,\"closed\":true}") != std::string::npos);
  CHECK(truth.find("\"header-float\":\"closed\"") != std::string::npos);
}

TEST_CASE("orders: show tells what every meter shows, in its own unit", "[orchard][orders][meter]") {
  Model model = bench_model();
  model.meters = {{"lift-power", {}}, {"bore-current", {.kind = LoadKind::current, .stale_after = {}}}};
  auto scenario = bench_scenario();
  scenario.supplies = {{MeterIndex{0}, kLift, MotorLoad{900.0}, MotorLoad{250.0}},
                       {MeterIndex{1}, kBore, MotorLoad{4.5}, MotorLoad{2.0}}};
  plant::Plant plant{model, scenario};
  plant.write(kLiftContact, true);
  plant.write(kBoreContact, true);
  plant.advance(1s);
  CHECK(carry_out("fault lift-power misreads 50 %", plant) ==
        "ok lift-power: it shows so much of what the motor takes");
  plant.advance(1s);
  const std::string truth = carry_out("show", plant);
  CHECK(truth.find(
            "\"meters\":{\"lift-power\":{\"power_w\":450.000},\"bore-current\":{\"current_a\":4.500}}") !=
        std::string::npos);
}
