#include "stillwell/rehearsal/rehearse.hpp"

#include "stillwell/config/configuration.hpp"
#include "stillwell/rehearsal/plant_stand_in.hpp"
#include "stillwell/rehearsal/record_stand_in.hpp"
#include "stillwell/rehearsal/scenario_file.hpp"
#include "stillwell/rehearsal/totals.hpp"
#include "stillwell/rehearsal/trace.hpp"
#include "stillwell/report/level_rows.hpp"

#include <sstream>
#include <string>

#include "support/catch.hpp"
#include "support/places.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Stamp kBegins{std::chrono::sys_days{std::chrono::year{2026} / 3 / 1}};

std::optional<LocalTime> as_utc(Stamp stamp) {
  const auto day = std::chrono::floor<std::chrono::days>(stamp);
  const auto minute = std::chrono::floor<std::chrono::minutes>(stamp - day);
  return LocalTime{day.time_since_epoch().count(), static_cast<int>(minute.count())};
}

config::Configuration shipped(const std::string& file) {
  auto loaded = config::load(support::source_dir() + "/config/" + file);
  for (const auto& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(loaded.configuration);
  return *loaded.configuration;
}

/// The demonstration's site and water, with what a test adds.
class Demo {
 public:
  explicit Demo(const std::string& more = "") : configuration{shipped("demo/stillwell.yaml")} {
    const auto loaded = rehearsal::parse_scenario(kWater + more, "water.yaml", model());
    for (const auto& problem : loaded.problems)
      UNSCOPED_INFO(problem.to_text());
    REQUIRE(loaded.scenario);
    stand_in = std::make_unique<rehearsal::PlantStandIn>(configuration.wiring,
                                                         plant::Plant{model(), *loaded.scenario, 500ms});
  }

  [[nodiscard]] const Model& model() const { return configuration.model; }
  Duration run(Duration lasts, const std::function<void(const rehearsal::Scanned&)>& tell) {
    return rehearsal::rehearse(model(), *stand_in, {.begins = kBegins, .lasts = lasts, .to_local = as_utc},
                               tell);
  }

  config::Configuration configuration;
  std::unique_ptr<rehearsal::PlantStandIn> stand_in;

 private:
  static constexpr const char* kWater = R"(
ripple: 3 mm
tanks:
  header: { start: 38 %, draw: 120 L/min }
  cistern: { start: 60 %, inflow: 6 L/min, intake: 3 cm }
  bore-well: { start: 80 %, inflow: 180 L/min, intake: 10 cm }
  sump: { start: 30 %, inflow: 30 L/min, intake: 2 cm }
switches:
  header-float: { tank: header, on_above: 99 % }
  cistern-float: { tank: cistern, on_below: 6 % }
meters:
  lift-power: { pump: lift, wet: 900 W, dry: 250 W }
)";
};

/// All that happened, and every order of every contact.
std::string story_of(const std::string& more, Duration lasts) {
  Demo demo{more};
  std::string story;
  demo.run(lasts, [&](const rehearsal::Scanned& scanned) {
    for (const Order order : scanned.outcome.contacts)
      story += order == Order::on ? '1' : '0';
    for (const Event& event : scanned.outcome.events)
      story += "\n" + to_text(scanned.wall) + " " + event.of + " " + event.cause + "\n";
    story += report::level_row(scanned.outcome.view, scanned.wall);
  });
  return story;
}

const rehearsal::PumpTotals& pump_of(const rehearsal::Totals& totals, const std::string& id) {
  for (const auto& pump : totals.pumps())
    if (pump.id == id) return pump;
  FAIL("no pump " << id);
  return totals.pumps().front();
}

}  // namespace

TEST_CASE("rehearsal: it is the same again, bit for bit", "[rehearsal]") {
  const std::string faults =
      "faults: [{ at: 2 min, what: header-top, fault: noise, size: 3 cm, for: 2 min }]\n";
  const std::string once = story_of(faults, 10min);
  CHECK(once == story_of(faults, 10min));
  CHECK(once != story_of("", 10min));
}

TEST_CASE("rehearsal: the totals are those of the water", "[rehearsal][totals]") {
  Demo demo;
  rehearsal::Totals totals{demo.model()};
  rehearsal::Trace trace{demo.model(), 1h, 60};
  int trips = 0;
  const Duration lasted = demo.run(1h, [&](const rehearsal::Scanned& scanned) {
    totals.add(scanned);
    trace.add(scanned);
    for (const Event& event : scanned.outcome.events)
      if (event.kind == EventKind::trip) ++trips;
  });
  CHECK(lasted == 1h);
  const auto& lift = pump_of(totals, "lift");
  CHECK(lift.starts >= 1);
  // What the rules took from the nameplate, and what the plant booked in the tank that the pump fills.
  const auto& plant = demo.stand_in->plant();
  REQUIRE(lift.moved);
  CHECK(lift.moved->value() == Approx(plant.basin({0}).ledger().pumped_in.value()).epsilon(0.03));
  int counted = 0;
  for (const auto& pump : totals.pumps())
    for (const auto& [cause, count] : pump.trips)
      counted += static_cast<int>(count);
  CHECK(counted == trips);
  for (const auto& tank : totals.tanks()) {
    INFO(tank.id);
    REQUIRE(tank.lowest);
    CHECK(*tank.lowest < *tank.highest);
    CHECK(tank.unknown < 1min);
  }
  // A piece of the trace reaches from the lowest to the highest, and all of them as far as the totals.
  std::optional<Metres> lowest;
  for (const auto& reach : trace.tank({0}))
    if (reach) lowest = std::min(lowest.value_or(reach->lowest), reach->lowest);
  CHECK(lowest == totals.tanks()[0].lowest);
}

TEST_CASE("rehearsal: a fault on the time-line does what it does on the wire", "[rehearsal][faults]") {
  // At 49 s the lift runs.
  const auto after = [](const std::string& fault) {
    Demo demo{"faults: [{ at: 49 s, " + fault + " }]\n"};
    rehearsal::Totals totals{demo.model()};
    demo.run(10min, [&](const rehearsal::Scanned& scanned) { totals.add(scanned); });
    return pump_of(totals, "lift");
  };
  CHECK(after("what: cistern-top, fault: silence").trips.contains("source-unknown"));
  CHECK(after("what: header-top, fault: bad-sum").trips.contains("tank-unknown"));
  CHECK(after("what: shed, fault: unplugged").trips.contains("contact-unreachable"));
  CHECK(after("what: bore, fault: airlock").trips.contains("source-low"));
  CHECK(after("what: lift-contact, fault: silence").trips.contains("contact-unreachable"));
  CHECK(after("what: lift-power, fault: misreads, size: 10 %").trips.contains("no-power"));
  const auto welded = after("what: lift-contact, fault: welded");
  CHECK(welded.lock_outs == 1);
  CHECK(welded.trips.empty());
  CHECK(after("what: sump-top, fault: silence").trips.empty());
}

TEST_CASE("rehearsal: its own course can be rehearsed again, and the levels are the same",
          "[rehearsal][recording]") {
  Demo demo;
  std::string course = report::level_header(demo.model());
  rehearsal::Totals was{demo.model()};
  demo.run(30min, [&](const rehearsal::Scanned& scanned) {
    was.add(scanned);
    course += report::level_row(scanned.outcome.view, scanned.wall);
  });
  std::istringstream stream{course};
  const auto record = rehearsal::Record::open(stream, demo.model());
  REQUIRE(record);
  std::vector<Duration> every;
  for (const auto& gauge : demo.configuration.wiring.gauges)
    every.push_back(gauge.every);
  rehearsal::RecordStandIn recording{*record, demo.model(), every};
  CHECK(recording.begins() == kBegins);
  rehearsal::Totals is{demo.model()};
  const Duration lasted =
      rehearsal::rehearse(demo.model(), recording, {.begins = kBegins, .lasts = 24h, .to_local = as_utc},
                          [&](const rehearsal::Scanned& scanned) { is.add(scanned); });
  CHECK(recording.failure().empty());
  CHECK(lasted == 30min);
  for (std::size_t at = 0; at < was.tanks().size(); ++at) {
    INFO(was.tanks()[at].id);
    REQUIRE(is.tanks()[at].lowest);
    CHECK(is.tanks()[at].lowest->value() == Approx(was.tanks()[at].lowest->value()).margin(0.01));
    CHECK(is.tanks()[at].highest->value() == Approx(was.tanks()[at].highest->value()).margin(0.01));
  }
}
