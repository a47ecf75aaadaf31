// The leak alarm over nights: it rises on a night that leaked, clears on one that did not, and an unknown
// night changes nothing.

#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr std::size_t kHeader = 0;

Model watched_orchard() {
  Model model = support::working_orchard();
  const LitresPerSecond limit{4.0 / 3600.0};
  Alarm leak;
  leak.id = "header/leak";
  leak.kind = AlarmKind::leak;
  leak.of = TankIndex{kHeader};
  leak.more_than = limit;
  model.alarms = {leak};
  model.pumps.clear();
  model.tanks[kHeader].night = {.from_minute = 60, .to_minute = 240, .more_than = limit};
  return model;
}

/// A night from 00:55 to 04:05, a look a second.
struct Nights {
  SiteBench bench{watched_orchard()};
  std::int64_t day = 20000;

  struct Night {
    double leak_l_h = 0.0;
    double flush_l = 0.0;  ///< at 02:30
    int blind_from = 0;    ///< minutes of the day
    int blind_to = 0;
  };

  void pass(const Night& night) {
    bench.story.clear();
    bench.levels[kHeader] = 1.5;
    bench.now += 20h;
    for (int second = 55 * 60; second < 245 * 60; ++second) {
      const int minute = second / 60;
      bench.image.local = LocalTime{day, minute};
      bench.levels[kHeader] -= night.leak_l_h / 3600.0 / 5000.0;
      if (second == 150 * 60) bench.levels[kHeader] -= night.flush_l / 5000.0;
      bench.silent[kHeader] = minute >= night.blind_from && minute < night.blind_to;
      bench.scan();
    }
    ++day;
  }
  [[nodiscard]] AlarmState state() const { return bench.last.view.alarms[0].state; }
};

}  // namespace

TEST_CASE("leak: a night with 6 L/h rises at its end, with the number, the limit and what to do",
          "[site][alarms][leak]") {
  Nights nights;
  nights.pass({.leak_l_h = 6.0});
  CHECK(nights.state() == AlarmState::unacknowledged);
  const auto told = nights.bench.told(EventKind::alarm, "header/leak");
  REQUIRE(told.size() == 1);
  CHECK(told[0].text.find("at least 6.0 L/h left the tank") != std::string::npos);
  CHECK(told[0].text.find("limit 4.0 L/h") != std::string::npos);
  CHECK(told[0].text.find("running toilet") != std::string::npos);
  CHECK(std::find(told[0].values.begin(), told[0].values.end(),
                  std::pair<std::string, double>{"night_flow_l_h", 6.0}) != told[0].values.end());
  CHECK(nights.bench.last.view.tanks[kHeader].figures.night->leak);
}

TEST_CASE("leak: one flush in the night is no leak, and a small one is none either", "[site][alarms][leak]") {
  Nights nights;
  nights.pass({.leak_l_h = 3.5, .flush_l = 10.0});
  CHECK(nights.state() == AlarmState::normal);
  CHECK(nights.bench.last.view.tanks[kHeader].figures.night->minimum->value() * 3600.0 ==
        Approx(3.5).epsilon(0.01));
}

TEST_CASE("leak: unknown nights change nothing, a night without a leak clears it", "[site][alarms][leak]") {
  Nights nights;
  const Nights::Night blind{.leak_l_h = 0.0, .blind_from = 140, .blind_to = 170};
  nights.pass({.leak_l_h = 9.0, .blind_from = 140, .blind_to = 170});
  CHECK(nights.state() == AlarmState::normal);  // nothing was told yet
  nights.pass({.leak_l_h = 6.0});
  REQUIRE(nights.state() == AlarmState::unacknowledged);
  nights.bench.command(CommandKind::acknowledge, "header/leak");
  CHECK(nights.state() == AlarmState::acknowledged);
  nights.pass(blind);
  CHECK(nights.state() == AlarmState::acknowledged);
  CHECK(nights.bench.told(EventKind::alarm, "header/leak").empty());
  nights.pass({.flush_l = 10.0});
  CHECK(nights.state() == AlarmState::normal);
  CHECK(nights.bench.told(EventKind::alarm, "header/leak").size() == 1);
}

TEST_CASE("leak: nothing is told before the night is over", "[site][alarms][leak]") {
  Nights nights;
  nights.pass({.leak_l_h = 6.0});
  const auto told = nights.bench.told(EventKind::alarm, "header/leak");
  REQUIRE(told.size() == 1);
  Nights again;
  again.bench.now += 1h;
  for (int second = 55 * 60; second < 240 * 60; ++second) {
    again.bench.image.local = LocalTime{20000, second / 60};
    again.bench.levels[kHeader] -= 6.0 / 3600.0 / 5000.0;
    again.bench.scan();
  }
  CHECK(again.state() == AlarmState::normal);
}
