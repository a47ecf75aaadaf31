// One scan after another, from what the gauges sent to what the contacts are told and what people read.

#include "stillwell/site/guards.hpp"
#include "stillwell/site/story.hpp"

#include <algorithm>
#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr std::size_t kHeader = 0;
constexpr std::size_t kCistern = 1;
constexpr std::size_t kLift = 0;

/// The lift pump runs: the header is low, the cistern is full.
SiteBench lifting() {
  SiteBench bench;
  bench.levels = {0.9, 1.5};
  bench.scan_for(30s);
  REQUIRE(bench.on(kLift));
  bench.levels[kHeader] = 1.2;
  bench.scan_for(10s);
  REQUIRE(bench.last.view.pumps[kLift].state == PumpState::running);
  bench.story.clear();
  return bench;
}

bool all_off(const Outcome& outcome) {
  return std::all_of(outcome.contacts.begin(), outcome.contacts.end(),
                     [](Order order) { return order == Order::off; });
}

}  // namespace

TEST_CASE("site: silence the gauge and its pump is off within stale_after, with the cause", "[site][rules]") {
  SiteBench bench = lifting();
  bench.silent[kHeader] = true;
  const Instant last_reading = bench.now;
  while (bench.on(kLift) && bench.now < last_reading + 1min)
    bench.scan(100ms);
  CHECK(bench.now - last_reading <= 3s + 100ms);  // past the limit by one scan
  CHECK(bench.now - last_reading > 3s);           // and not for a single missed reply
  const auto trips = bench.told(EventKind::trip, "lift");
  REQUIRE(trips.size() == 1);
  CHECK(trips.front().cause == "tank-unknown");
  CHECK(bench.last.view.pumps[kLift].first_out == Cause::tank_unknown);
  CHECK(bench.last.view.tanks[kHeader].level.reason == Reason::stale);
  CHECK_FALSE(bench.last.view.tanks[kHeader].contents.has_value());
  CHECK(bench.last.view.tanks[kHeader].last_level->value() == Approx(1.2));
}

TEST_CASE("site: silence the suction's gauge and the pump is off with source-unknown", "[site][rules]") {
  SiteBench bench = lifting();
  bench.silent[kCistern] = true;
  bench.scan_for(4s);
  CHECK_FALSE(bench.on(kLift));
  REQUIRE(bench.told(EventKind::trip, "lift").size() == 1);
  CHECK(bench.told(EventKind::trip, "lift").front().cause == "source-unknown");
}

TEST_CASE("site: a dry source trips the pump in the scan that sees it, and it comes back", "[site][rules]") {
  SiteBench bench = lifting();
  bench.levels[kCistern] = 0.29;
  bench.scan();
  CHECK_FALSE(bench.on(kLift));
  const auto trips = bench.told(EventKind::trip, "lift");
  REQUIRE(trips.size() == 1);
  CHECK(trips.front().cause == "source-low");
  CHECK(bench.told(EventKind::service, "lift").empty());
  bench.levels[kCistern] = 0.6;
  bench.scan_for(30s);
  CHECK(bench.on(kLift));
  const auto over = bench.told(EventKind::service, "lift");
  REQUIRE(over.size() == 1);
  CHECK(over.front().cause == "source-low");
  CHECK(over.front().text == "Lift pump is no longer tripped: source-low is over.");
  CHECK(over.front().values.back() == std::pair{std::string{"limit_m"}, 0.5});  // source_clear
}

TEST_CASE("site: the end of a trip is told when it ends, whether the pump starts then or not",
          "[site][events]") {
  SiteBench bench = lifting();
  bench.levels[kCistern] = 0.29;
  bench.scan();
  bench.command(CommandKind::mode, "lift", "off");
  bench.levels[kCistern] = 0.6;
  bench.scan_for(5min);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.told(EventKind::start, "lift").empty());
  REQUIRE(bench.told(EventKind::service, "lift").size() == 1);
  CHECK(bench.last.view.pumps[kLift].state == PumpState::stopped);
}

TEST_CASE("site: the pump stops on level and says so without a fault", "[site][levels]") {
  SiteBench bench = lifting();
  bench.levels[kHeader] = 1.95;
  bench.scan();
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.told(EventKind::trip, "lift").empty());
  REQUIRE(bench.told(EventKind::stop, "lift").size() == 1);
}

TEST_CASE("site: a low alarm rises after its delay, once", "[site][alarms]") {
  SiteBench bench;
  bench.scan_for(10s);
  bench.levels[kHeader] = 0.30;
  bench.story.clear();
  const Instant fell = bench.now;
  while (bench.told(EventKind::alarm, "header/low").empty() && bench.now < fell + 1h)
    bench.scan();
  CHECK(bench.now - fell == 61s);  // 60 s from the first scan that saw it
  bench.scan_for(1h);
  REQUIRE(bench.told(EventKind::alarm, "header/low").size() == 1);
  CHECK(bench.told(EventKind::alarm, "header/low").front().cause == "unacknowledged");
  CHECK(bench.told(EventKind::alarm, "header/low").front().priority == bench.model.alarms[0].priority);
  CHECK(bench.last.view.alarms[0].state == AlarmState::unacknowledged);
}

TEST_CASE("site: a gauge gone bad is its own alarm, and the level's alarm is silent", "[site][alarms]") {
  SiteBench bench;
  bench.scan_for(10s);
  bench.silent[kCistern] = true;
  bench.scan_for(3min);
  CHECK(bench.told(EventKind::alarm, "cistern/unwell").size() == 1);
  CHECK(bench.told(EventKind::alarm, "cistern/low").empty());
}

TEST_CASE("site: a change of quality is an event once, in both directions", "[site][events]") {
  SiteBench bench;
  bench.scan_for(10s);
  REQUIRE(bench.told(EventKind::quality, "header").size() == 1);
  bench.silent[kHeader] = true;
  bench.scan_for(1min);
  bench.silent[kHeader] = false;
  bench.scan_for(1min);
  const auto told = bench.told(EventKind::quality, "header");
  REQUIRE(told.size() == 3);
  CHECK(told[0].cause == "good");
  CHECK(told[1].cause == "stale");
  CHECK(told[2].cause == "good");
}

TEST_CASE("site: every event has a cause and a sentence", "[site][events]") {
  SiteBench bench = lifting();
  bench.levels[kCistern] = 0.2;
  bench.scan_for(2min);
  bench.silent = {true, true};
  bench.scan_for(2min);
  bench.silent = {false, false};
  bench.levels = {2.43, 1.5};
  bench.scan_for(2min);
  bench.command(CommandKind::acknowledge, "all");
  bench.command(CommandKind::mode, "lift", "off");
  bench.command(CommandKind::reset, "nobody");
  bench.levels = {0.2, 1.5};
  bench.scan_for(2min);
  CHECK(bench.story.size() > 12);
  for (const Event& event : bench.story) {
    INFO(to_word(event.kind) << " of " << event.of << ": " << event.text);
    CHECK_FALSE(event.of.empty());
    CHECK_FALSE(event.cause.empty());
    REQUIRE(event.text.size() > 10);
    CHECK(event.text.back() == '.');
    CHECK(event.text.find("nan") == std::string::npos);
    for (const auto& [name, value] : event.values) {
      CHECK_FALSE(name.empty());
      CHECK(std::isfinite(value));
    }
  }
}

TEST_CASE("site: with nothing in the image every contact is off", "[site][defaults]") {
  const Model model = support::working_orchard();
  Memory memory = remember_nothing(model);
  for (int second = 0; second < 600; ++second) {
    const Outcome outcome = solve(model, memory, InputImage{}, Instant{1h} + second * 1s);
    REQUIRE(outcome.contacts.size() == model.contacts.size());
    REQUIRE(all_off(outcome));
  }
}

TEST_CASE("site: a contact that no pump owns stays off", "[site][defaults]") {
  Model model = support::working_orchard();
  model.pumps.clear();
  SiteBench bench{model};
  bench.levels = {0.1, 0.1};
  bench.scan_for(2min);
  CHECK(bench.last.contacts.size() == 2);
  CHECK(all_off(bench.last));
  CHECK(bench.last.view.pumps.empty());
}

TEST_CASE("site: an empty model is solved too", "[site][defaults]") {
  const Model model;
  Memory memory = remember_nothing(model);
  const Outcome outcome = solve(model, memory, InputImage{}, Instant{1h});
  CHECK(outcome.contacts.empty());
  CHECK(outcome.events.empty());
}

TEST_CASE("site: a reading that can stop a pump is known to guard one", "[site][guards]") {
  Model model = support::working_orchard();
  model.gauges.push_back({"spare", {}});
  model.switches = {{"header-float", {}}, {"cistern-float", {}}, {"lift-running", {}}, {"button", {}}};
  Pump& lift = model.pumps[kLift];
  lift.float_trip = SwitchIndex{0};
  lift.source_float = SwitchIndex{1};
  lift.feedback = Feedback{SwitchIndex{2}, 3s};
  CHECK(guards_a_pump(model, GaugeIndex{0}));
  CHECK(guards_a_pump(model, GaugeIndex{1}));
  CHECK_FALSE(guards_a_pump(model, GaugeIndex{2}));
  CHECK(guards_a_pump(model, SwitchIndex{0}));
  CHECK(guards_a_pump(model, SwitchIndex{1}));
  CHECK(guards_a_pump(model, SwitchIndex{2}));
  CHECK_FALSE(guards_a_pump(model, SwitchIndex{3}));
  model.pumps.erase(model.pumps.begin() + 1);  // bore: now the cistern is suction only
  CHECK(guards_a_pump(model, GaugeIndex{1}));
  model.pumps[0].source.reset();
  CHECK_FALSE(guards_a_pump(model, GaugeIndex{1}));
  model.pumps[0].duty = Duty::drain;
  model.pumps[0].receiver = TankIndex{1};
  CHECK(guards_a_pump(model, GaugeIndex{1}));
}

TEST_CASE("site: a pump's switches reach it, each by its own name", "[site][wiring]") {
  for (std::size_t input = 0; input < 3; ++input) {
    Model model = support::working_orchard();
    const SwitchRules rules{.stale_after = 2s};
    model.switches = {{"header-float", rules}, {"cistern-float", rules}, {"panel", rules}};
    model.pumps[kLift].float_trip = SwitchIndex{0};
    model.pumps[kLift].source_float = SwitchIndex{1};
    SiteBench bench{model};
    bench.levels = {0.9, 1.5};
    const auto scan = [&](bool struck) {
      for (std::size_t at = 0; at < 3; ++at)
        bench.image.readings.switches[at] = {bench.now + 1s, struck && at == input, Reason::none};
      bench.scan();
    };
    for (int i = 0; i < 40; ++i)
      scan(false);
    REQUIRE(bench.on(kLift));
    scan(true);
    CHECK(bench.on(kLift) == (input == 2));
    if (input == 0) CHECK(bench.last.view.pumps[kLift].first_out == Cause::float_switch);
    if (input == 1) CHECK(bench.last.view.pumps[kLift].first_out == Cause::source_float);
  }
}

TEST_CASE("scan: a lock-out is as urgent as anything, other events of a pump are not rated", "[site]") {
  const Model model = support::orchard_model();
  const auto told = [&](PumpEvent::Kind kind) {
    return tell_pump(model.pumps[kLift], {kind, Cause::stuck_on}, {.tank = {}, .source = {}}).priority;
  };
  CHECK(told(PumpEvent::Kind::lock_out) == Priority::high);
  for (const auto kind : {PumpEvent::Kind::trip, PumpEvent::Kind::start, PumpEvent::Kind::stop})
    CHECK_FALSE(told(kind));
}
