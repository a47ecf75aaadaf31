// Alarms of a tank beyond its set points: a level that moves too fast, and gauges that contradict each other.

#include <algorithm>
#include <chrono>

#include "support/bench_alarms.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr double kMmPerMin = 1e-3 / 60.0;

Model rated(AlarmKind kind) {
  Model model = support::alarmed_orchard();
  support::add_alarm(model, TankIndex{0}, "header", kind);
  model.alarms.back().faster_than = MetresPerSecond{20 * kMmPerMin};
  model.alarms.back().clears_below = MetresPerSecond{15 * kMmPerMin};
  return model;
}

/// The header's level moves by so much, in mm a minute; the lift rests.
void drift(SiteBench& bench, double mm_per_min, Duration time) {
  for (const auto end = bench.now + time; bench.now < end;) {
    bench.levels[0] += mm_per_min * kMmPerMin;
    bench.scan();
  }
}

/// The header has a second gauge, and its two alarms wait a minute, as by default.
SiteBench twin() {
  Model model = support::alarmed_orchard();
  model.gauges.push_back(model.gauges[0]);
  model.gauges.back().id = "header-side";
  model.tanks[0].gauges.push_back({GaugeIndex{2}, model.tanks[0].gauges[0].mounting});
  model.tanks[0].combine.disagree = Metres{0.05};
  support::add_alarm(model, TankIndex{0}, "header", AlarmKind::unwell);
  support::add_alarm(model, TankIndex{0}, "header", AlarmKind::disagree);
  for (Alarm& alarm : model.alarms) {
    if (alarm.kind == AlarmKind::unwell || alarm.kind == AlarmKind::disagree) alarm.after = 60s;
    if (alarm.kind == AlarmKind::disagree) alarm.clear_after = 10s;
  }
  SiteBench bench = support::alarmed_site(std::move(model));
  bench.scan_for(1min);
  bench.story.clear();
  return bench;
}

std::vector<std::string> states_told(const SiteBench& bench, const std::string& alarm) {
  std::vector<std::string> states;
  for (const Event& event : bench.told(EventKind::alarm, alarm))
    states.push_back(event.cause);
  return states;
}

using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("alarms: a level that falls or rises too fast is told with its rate, and clears past its deadband",
          "[site][alarms][rate]") {
  for (const AlarmKind kind : {AlarmKind::falling, AlarmKind::rising}) {
    const double sign = kind == AlarmKind::rising ? 1.0 : -1.0;
    const std::string id = "header/" + std::string(to_word(kind));
    INFO(id);
    SiteBench bench = support::alarmed_site(rated(kind));
    bench.levels[0] = kind == AlarmKind::rising ? 1.2 : 2.3;
    drift(bench, 18 * sign, 10min);
    CHECK(bench.state_of(id) == AlarmState::normal);
    drift(bench, 25 * sign, 6min);
    CHECK(bench.state_of(id) == AlarmState::unacknowledged);
    const auto told = bench.told(EventKind::alarm, id);
    REQUIRE(told.size() == 1);
    INFO(told.front().text);
    CHECK(told.front().text.find("Header tank: " + std::string(to_word(kind)) + " alarm, 2") == 0);
    CHECK(told.front().text.find("mm/min, limit 20.0 mm/min, level ") != std::string::npos);
    drift(bench, 17 * sign, 10min);  // within the deadband the last verdict stands
    CHECK(bench.state_of(id) == AlarmState::unacknowledged);
    drift(bench, 10 * sign, 10min);
    CHECK(bench.state_of(id) == AlarmState::returned_unacknowledged);
    CHECK(bench.told(EventKind::alarm, id).size() == 2);
  }
}

TEST_CASE("alarms: a level that moves fast the other way raises nothing", "[site][alarms][rate]") {
  SiteBench bench = support::alarmed_site(rated(AlarmKind::rising));
  bench.levels[0] = 2.3;
  drift(bench, -60, 15min);
  CHECK(bench.told(EventKind::alarm, "header/rising").empty());
}

TEST_CASE("alarms: while no rate can be told a rate alarm neither rises nor returns",
          "[site][alarms][rate]") {
  SiteBench bench = support::alarmed_site(rated(AlarmKind::falling));
  bench.levels[0] = 2.3;
  drift(bench, -25, 10min);
  REQUIRE(bench.state_of("header/falling") == AlarmState::unacknowledged);
  bench.silent[0] = true;
  bench.scan_for(30min);
  CHECK(bench.state_of("header/falling") == AlarmState::unacknowledged);
  bench.silent[0] = false;
  bench.scan_for(20min);
  CHECK(bench.state_of("header/falling") == AlarmState::returned_unacknowledged);
}

TEST_CASE("alarms: gauges that contradict each other are told once, with what each shows",
          "[site][alarms][disagree]") {
  SiteBench bench = twin();
  bench.errors[2] = 0.30;
  bench.scan_for(2min);
  CHECK(bench.state_of("header/disagree") == AlarmState::unacknowledged);
  CHECK(bench.state_of("header/unwell") == AlarmState::suppressed);
  CHECK(states_told(bench, "header/disagree") == Words{"unacknowledged"});
  CHECK(states_told(bench, "header/unwell").empty());
  const std::string text = bench.told(EventKind::alarm, "header/disagree").at(0).text;
  INFO(text);
  CHECK(text.find("header-top 1.500 m, header-side 1.800 m, limit 0.050 m") != std::string::npos);
  CHECK(text.find("Measure the level by hand") != std::string::npos);
}

TEST_CASE("alarms: when they agree again, unwell comes back without having risen",
          "[site][alarms][disagree]") {
  SiteBench bench = twin();
  bench.errors[2] = 0.30;
  bench.scan_for(2min);
  bench.errors[2] = 0.0;
  bench.scan_for(1min);
  CHECK(bench.state_of("header/disagree") == AlarmState::returned_unacknowledged);
  CHECK(bench.state_of("header/unwell") == AlarmState::normal);
  CHECK(states_told(bench, "header/unwell").empty());
}

TEST_CASE("alarms: of a pair that contradicted each other one that dies has not come round",
          "[site][alarms][disagree]") {
  SiteBench bench = twin();
  bench.errors[2] = 0.30;
  bench.scan_for(2min);
  REQUIRE(bench.state_of("header/disagree") == AlarmState::unacknowledged);
  bench.silent[2] = true;
  bench.scan_for(10min);
  CHECK(bench.state_of("header/disagree") == AlarmState::unacknowledged);
  bench.silent[2] = false;
  bench.errors[2] = 0.0;
  bench.scan_for(10min);
  CHECK(bench.state_of("header/disagree") == AlarmState::returned_unacknowledged);
}

TEST_CASE("alarms: a shelved disagreement does not speak for unwell", "[site][alarms][disagree][shelve]") {
  SiteBench bench = twin();
  bench.errors[2] = 0.30;
  bench.scan_for(2min);
  REQUIRE(bench.state_of("header/unwell") == AlarmState::suppressed);
  bench.ask({.kind = CommandKind::shelve,
             .target = "header/disagree",
             .argument = "",
             .lasts = 8h,
             .because = "known"});
  bench.scan();
  CHECK(bench.state_of("header/disagree") == AlarmState::shelved);
  CHECK(bench.state_of("header/unwell") == AlarmState::unacknowledged);
}

TEST_CASE("alarms: when both fall silent instead, unwell speaks", "[site][alarms][disagree]") {
  SiteBench bench = twin();
  bench.errors[2] = 0.30;
  bench.scan_for(2min);
  bench.silent[0] = bench.silent[2] = true;
  bench.scan_for(1min);
  CHECK(bench.state_of("header/disagree") == AlarmState::unacknowledged);
  CHECK(bench.state_of("header/unwell") == AlarmState::unacknowledged);
}
