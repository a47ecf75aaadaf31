// A flood of alarms through the whole scan: told once with what came first, and once when it is over.

#include "stillwell/site/kept.hpp"

#include <algorithm>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

/// Twelve alarms of the header that rise one after the other as its level falls, a second apart.
Model many_alarms() {
  Model model = support::working_orchard();
  model.alarms.clear();
  for (int i = 0; i < 12; ++i) {
    Alarm alarm;
    alarm.id = "header/low-" + std::to_string(i);
    alarm.of = TankIndex{0};
    alarm.kind = AlarmKind::low;
    alarm.at = alarm.clears_at = Metres{1.4 - 0.001 * i};
    model.alarms.push_back(alarm);
  }
  return model;
}

SiteBench settled() {
  SiteBench bench{many_alarms()};
  bench.scan_for(1min);
  return bench;
}

/// The next `count` alarms rise, one a scan.
void raise(SiteBench& bench, int from, int count) {
  for (int i = from; i < from + count; ++i) {
    bench.levels[0] = 1.4 - 0.001 * i - 0.0005;
    bench.scan();
  }
}

std::vector<Event> of_flood(const SiteBench& bench) {
  return bench.told(EventKind::alarm, "orchard");
}

}  // namespace

TEST_CASE("flood: the eleventh alarm in ten minutes begins it, and the first alarm is named",
          "[site][flood]") {
  SiteBench bench = settled();
  raise(bench, 0, 10);
  REQUIRE(bench.last.view.alarm_figures.last_ten_minutes == 10);
  CHECK_FALSE(bench.last.view.alarm_figures.flood);
  CHECK(of_flood(bench).empty());
  raise(bench, 10, 2);
  CHECK(bench.last.view.alarm_figures.flood);
  REQUIRE(of_flood(bench).size() == 1);
  const Event event = of_flood(bench)[0];
  CHECK(event.cause == "flood");
  CHECK(event.text ==
        "Hillside orchard: a flood of alarms, 11 in ten minutes. It began with header/low-0: look there "
        "first.");
  CHECK(event.values == std::vector<std::pair<std::string, double>>{{"alarms", 11.0}});
}

TEST_CASE("flood: it is over when fewer than five rose within ten minutes, and not before", "[site][flood]") {
  SiteBench bench = settled();
  raise(bench, 0, 12);
  REQUIRE(bench.last.view.alarm_figures.flood);
  // The rises are a second apart: ten minutes after the first they drop out one by one.
  bench.scan_for(10min - 12s);
  while (bench.last.view.alarm_figures.last_ten_minutes >= 5) {
    CHECK(bench.last.view.alarm_figures.flood);
    REQUIRE(of_flood(bench).size() == 1);
    bench.scan();
  }
  CHECK_FALSE(bench.last.view.alarm_figures.flood);
  REQUIRE(of_flood(bench).size() == 2);
  CHECK(of_flood(bench)[1].cause == "flood-over");
  CHECK(of_flood(bench)[1].text ==
        "Hillside orchard: the flood of alarms is over, 4 in the last ten minutes.");
  // They all still stand, which is no flood.
  CHECK(bench.last.view.alarm_figures.standing == 12);
  REQUIRE(bench.last.view.alarm_figures.longest_standing);
  CHECK(bench.last.view.alarm_figures.longest_standing->id == "header/low-0");
}

TEST_CASE("flood: shelved alarms do not add to it", "[site][flood]") {
  SiteBench bench = settled();
  for (std::size_t at = 0; at < 6; ++at)
    REQUIRE(shelve(bench.memory.alarms[at], {bench.now + 1h, "known"}, bench.now));
  raise(bench, 0, 12);
  CHECK(bench.last.view.alarm_figures.last_ten_minutes == 6);
  CHECK(of_flood(bench).empty());
}

TEST_CASE("flood: what brought the first alarm is where to look", "[site][flood][consequences]") {
  Model model = many_alarms();
  Alarm falling;
  falling.id = "header/falling";
  falling.of = TankIndex{0};
  falling.kind = AlarmKind::falling;
  falling.faster_than = falling.clears_below = MetresPerSecond{1.0};
  falling.clear_after = 1h;
  model.alarms.push_back(falling);
  SiteBench bench{model};
  bench.scan_for(1min);
  AlarmMemory& first = bench.memory.alarms.back();
  first.active = true;  // since long before the ten minutes
  first.state = AlarmState::acknowledged;
  first.began = bench.now - 1h;
  raise(bench, 0, 11);
  REQUIRE(of_flood(bench).size() == 1);
  CHECK(of_flood(bench)[0].text.find("It began with header/falling") != std::string::npos);
}

TEST_CASE("flood: a restart in it does not tell it again", "[site][flood][kept]") {
  SiteBench bench = settled();
  raise(bench, 0, 12);
  Kept kept = keep(bench.model, bench.memory, bench.now);
  kept.since = bench.now;
  SiteBench after{many_alarms()};
  after.now = bench.now + 20s;
  restore(after.model, kept, after.memory, after.now, 20s);
  after.levels = bench.levels;
  after.scan_for(5s);
  CHECK(after.last.view.alarm_figures.flood);
  CHECK(of_flood(after).empty());
}
