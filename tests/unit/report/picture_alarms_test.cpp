// The alarms in the picture: causes before consequences, the urgent before the rest, and nothing lost where
// there is no room.

#include "stillwell/report/canvas.hpp"
#include "stillwell/report/picture.hpp"

#include <algorithm>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;

namespace {

Snapshot calm() {
  const auto model = support::orchard_model();
  return snapshot(model, support::calm_outcome(model), {support::some_stamp(), "0.1.0", "none", {}});
}

AlarmStatus alarm_in(const std::string& id, const std::string& state, const std::string& priority = "low") {
  AlarmStatus alarm;
  alarm.id = id;
  alarm.state = state;
  alarm.priority = priority;
  return alarm;
}

AlarmStatus risen(const std::string& id, const std::string& priority, const std::string& because_of = "") {
  AlarmStatus alarm = alarm_in(id, "unacknowledged", priority);
  alarm.since = support::some_stamp();
  if (!because_of.empty()) alarm.consequence_of = because_of;
  return alarm;
}

AlarmStatus shelved(const std::string& id, const std::string& because) {
  AlarmStatus alarm = alarm_in(id, "shelved");
  alarm.shelved_until = support::some_stamp() + 1h;
  alarm.because = because;
  return alarm;
}

/// A dead line with what it brought, and a tank that is low for itself.
Snapshot dead_line(std::size_t consequences) {
  Snapshot site = calm();
  site.alarms = {risen("cistern/low", "medium")};
  for (std::size_t i = 0; i < consequences; ++i)
    site.alarms.push_back(risen("tank" + std::to_string(i) + "/unwell", "medium", "shed/line-down"));
  site.alarms.push_back(risen("lift-contact/contact-unreachable", "high", "shed/line-down"));
  site.alarms.push_back(risen("shed/line-down", "medium"));
  return site;
}

/// The first row that contains a text; fails when none does.
std::size_t row_of(const std::vector<std::string>& lines, const std::string& text) {
  const auto found = std::find_if(lines.begin(), lines.end(), [&](const std::string& line) {
    return line.find(text) != std::string::npos;
  });
  INFO(text);
  REQUIRE(found != lines.end());
  return static_cast<std::size_t>(found - lines.begin());
}

bool shows(const std::vector<std::string>& lines, const std::string& text) {
  return std::any_of(lines.begin(), lines.end(),
                     [&](const std::string& line) { return line.find(text) != std::string::npos; });
}

}  // namespace

TEST_CASE("picture: an alarm stands before what it brought, and that is marked",
          "[report][picture][alarms]") {
  const auto lines = picture(dead_line(1), {});
  const auto first = row_of(lines, "shed/line-down");
  CHECK(lines[first].find(" ▲ shed/line-down") == 0);
  // The high one before the medium one, though both are consequences.
  CHECK(lines[first + 1].find("   ╰─ lift-contact/contact-un") == 0);
  CHECK(lines[first + 2].find("   ╰─ tank0/unwell") == 0);
  // A medium alarm that brought a high one is more urgent than a medium one that brought none.
  CHECK(lines[first + 3].find(" ▲ cistern/low") == 0);
}

TEST_CASE("picture: of alarms that came first the high ones stand first, then the unseen ones",
          "[report][picture][alarms]") {
  Snapshot site = calm();
  auto seen = risen("cistern/high", "medium");
  seen.state = "acknowledged";
  site.alarms = {risen("header/clock", "low"), seen, risen("cistern/low", "medium"),
                 risen("header/high-high", "high")};
  const auto lines = picture(site, {});
  const auto at = row_of(lines, "header/high-high");
  CHECK(row_of(lines, "cistern/low") == at + 1);
  CHECK(row_of(lines, "cistern/high") == at + 2);
  CHECK(row_of(lines, "header/clock") == at + 3);
}

TEST_CASE("picture: where there is no room an alarm counts what it brought", "[report][picture][alarms]") {
  const auto lines = picture(dead_line(6), {});
  CHECK(lines.size() <= 24);
  CHECK(lines[row_of(lines, "shed/line-down")].find("04:12:07 brings 7") != std::string::npos);
  CHECK_FALSE(shows(lines, "╰─ tank"));
  CHECK(shows(lines, "cistern/low"));
  // A taller terminal has the room.
  CHECK(shows(picture(dead_line(6), {.rows = 60}), "╰─ tank5/unwell"));
}

TEST_CASE("picture: alarms that have no row are counted with all that they brought",
          "[report][picture][alarms]") {
  Snapshot site = dead_line(3);
  for (int i = 0; i < 6; ++i)
    site.alarms.push_back(risen("tank" + std::to_string(i) + "/high-high", "high"));
  for (auto& alarm : site.alarms)
    if (alarm.id == "lift-contact/contact-unreachable") alarm.priority = "low";
  const auto lines = picture(site, {});
  // Three of the six high ones have a row; three, the line with its four and the cistern have none.
  CHECK(shows(lines, "and 9 more: see --json"));
}

TEST_CASE("picture: a consequence of what is not shown stands for itself", "[report][picture][alarms]") {
  Snapshot site = calm();
  site.alarms = {risen("header/unwell", "medium", "shed/line-down"), shelved("shed/line-down", "rewiring")};
  auto lines = picture(site, {});
  CHECK(lines[row_of(lines, "header/unwell")].find(" ▲ header/unwell") == 0);
  // Two that name each other are both there.
  site.alarms = {risen("lift/tripped", "low", "bore/tripped"), risen("bore/tripped", "low", "lift/tripped")};
  lines = picture(site, {});
  CHECK(shows(lines, "lift/tripped"));
  CHECK(shows(lines, "bore/tripped"));
}

TEST_CASE("picture: a flood is said in one line before the alarms", "[report][picture][alarms]") {
  Snapshot site = dead_line(1);
  site.alarm_figures.last_ten_minutes = 12;
  site.alarm_figures.flood = true;
  auto lines = picture(site, {});
  CHECK(row_of(lines, "flood: 12 alarms in ten minutes; look at what came first") + 1 ==
        row_of(lines, "shed/line-down"));
  // More over a day than the published average is said too, with the alarm that does it.
  site.alarm_figures = {
      .last_day = 145, .most_frequent = FrequentStatus{"cistern/low", 90}, .over_demanding = true};
  lines = picture(site, {});
  CHECK(shows(lines, "145 alarms in 24 h, more than anybody can heed; cistern/low 90 times"));
  CHECK_FALSE(shows(picture(calm(), {}), "24 h"));
}

TEST_CASE("picture: what is put aside has one line: how many, until when and why",
          "[report][picture][alarms]") {
  Snapshot site = calm();
  const AlarmStatus suppressed = alarm_in("header/unwell", "suppressed");
  const AlarmStatus out = alarm_in("cistern/low", "out-of-service");
  site.alarms = {shelved("header/leak", "filling the pool"), suppressed, out, out};
  const auto lines = picture(site, {});
  CHECK(row_of(lines, "no alarms") + 1 ==
        row_of(lines, " put aside: 1 suppressed, 2 out of service, shelved header/leak until 05:12 ("));
  CHECK(shows(picture(site, {.columns = 120}), "(filling the pool)"));
}

TEST_CASE("picture: tanks and pumps that are out of service say so", "[report][picture][alarms]") {
  Snapshot site = calm();
  auto& tank = site.tanks[0];
  tank.level_m = tank.percent = tank.volume_l = std::nullopt;
  tank.quality = "bad";
  tank.reason = "out-of-service";
  tank.out_of_service = true;
  site.pumps[0].state = "out-of-service";
  site.pumps[0].held_by = {"service-out"};
  auto lines = picture(site, {});
  CHECK(shows(lines, " out of service"));
  CHECK(lines[row_of(lines, "Lift pump")].find("out-of-service") != std::string::npos);
  site.tanks.resize(6, tank);  // bars instead of vessels
  CHECK(shows(picture(site, {}), "? out-of-service"));
}

TEST_CASE("picture: a whole orchard in trouble fits the smallest terminal, with the last events",
          "[report][picture][alarms]") {
  Snapshot site = dead_line(6);
  site.tanks.resize(4, site.tanks[0]);
  site.pumps.resize(3, site.pumps[0]);
  site.alarm_figures.flood = true;
  site.alarms.push_back(shelved("header/leak", "filling the pool"));
  for (int i = 0; i < 5; ++i)
    site.events.push_back({site.at, 1, "service", "orchard", "x", "event " + std::to_string(i)});
  for (const bool unicode : {true, false}) {
    const auto lines = picture(site, {.unicode = unicode});
    CHECK(lines.size() <= 24);
    for (const auto& line : lines)
      CHECK(width_of(line) <= 80);
    CHECK(shows(lines, "flood: "));
    CHECK(shows(lines, "brings 7"));
    CHECK(shows(lines, "put aside: "));
    for (const char* event : {"event 2", "event 3", "event 4"})
      CHECK(shows(lines, event));
    CHECK(shows(lines, unicode ? "███" : "###"));  // and the tanks are still vessels or bars
  }
}

TEST_CASE("picture: a narrow terminal shows every alarm's state and as much of its id as there is room",
          "[report][picture][alarms]") {
  const auto lines = picture(dead_line(1), {.columns = 40});
  const auto& line = lines[row_of(lines, "shed/line-down")];
  CHECK(line.find("unacknowledged") != std::string::npos);
  CHECK(width_of(line) <= 40);
  CHECK(shows(picture(dead_line(6), {.columns = 50}), "unacknowledged brings 7"));
  const auto ascii = picture(dead_line(1), {.columns = 80, .unicode = false});
  CHECK(shows(ascii, "   '- tank0/unwell"));
}
