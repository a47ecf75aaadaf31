#include "stillwell/report/picture.hpp"

#include "stillwell/report/canvas.hpp"
#include "stillwell/report/letters.hpp"

#include <algorithm>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;

namespace {

Snapshot orchard() {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  outcome.view.pumps[0].state = PumpState::running;
  outcome.view.pumps[0].order = Order::on;
  outcome.view.pumps[0].contact = true;
  outcome.view.alarms[0] = {AlarmState::unacknowledged, support::kSomeInstant - 65s};
  return snapshot(
      model, outcome,
      {support::some_stamp(),
       "0.1.0",
       "cafe0123",
       "connected",
       {{support::some_stamp() - 9s, 41, {EventKind::start, "lift", "level", "Lift pump started.", {}}}}});
}

/// A site that is too big for any terminal, with names that try to break out of it.
Snapshot crowded() {
  auto site = orchard();
  site.name = "\x1b[31mred\x1b[0m \xff\xfe 水槽 " + std::string(200, 'w');
  site.broker = "away";
  site.pumps[1].state = "of-a-later-version";
  site.lines.resize(12, {"a-line-with-a-long-name", false, "cannot open " + std::string(100, '/'), 1, 2});
  for (int i = 0; i < 40; ++i) {
    auto tank = site.tanks[0];
    tank.name = i % 2 == 0 ? "水槽水槽水槽水槽水槽水槽" : "e\u0301tang\r\n\t\x7f";
    tank.volume_l = 1e9 * i;
    tank.level_m = -1e6;
    site.tanks.push_back(tank);
    auto pump = site.pumps[0];
    pump.name = std::string(100, 'p');
    pump.held_by = std::vector<std::string>(20, "source-low");
    pump.state = i == 39 ? "locked-out" : "stopped";
    site.pumps.push_back(pump);
    site.alarms.push_back({"a-tank-with-a-long-name/high-high", "latched-unacknowledged", "high", site.at});
    site.events.push_back({site.at, 1, "service", "orchard", "x", std::string(300, '\n')});
  }
  return site;
}

std::string joined(const std::vector<std::string>& lines) {
  std::string text;
  for (const auto& line : lines)
    text += line + "\n";
  return text;
}

bool is_ascii(const std::string& text) {
  return std::all_of(text.begin(), text.end(), [](char c) { return c == '\n' || (c >= 0x20 && c < 0x7F); });
}

/// The text without its SGR sequences.
std::string uncoloured(std::string text) {
  for (auto at = text.find('\x1b'); at != std::string::npos; at = text.find('\x1b')) {
    text.erase(at, text.find('m', at) - at + 1);
  }
  return text;
}

}  // namespace

TEST_CASE("picture: it shows tanks, pumps, alarms and the last events", "[report][picture]") {
  const auto text = joined(picture(orchard(), {}));
  for (const char* expected :
       {"Hillside orchard", "04:12:07", "broker connected", "Header tank", "71.1 %", "1.742 m", "8710 L",
        "good", "Lift pump", "running", "contact on", "header/low", "unacknowledged", "since 04:11:02",
        "04:11:58", "Lift pump started.", "line shed"}) {
    INFO(expected);
    CHECK(text.find(expected) != std::string::npos);
  }
}

TEST_CASE("picture: it says how fast a tank moves and how long that lasts, where anybody knows",
          "[report][picture][accounts]") {
  auto site = orchard();
  CHECK(joined(picture(site, {})).find("mm/min") == std::string::npos);
  site.tanks[0].rate_mm_min = 3.0;
  site.tanks[0].time_to_full_s = 4.0 * 3600.0 + 600.0;
  site.tanks[1].rate_mm_min = -120.0;
  site.tanks[1].time_to_empty_s = 1e300;
  const auto text = joined(picture(site, {}));
  CHECK(text.find("good ↑ 3 mm/min") != std::string::npos);
  CHECK(text.find("full in 4 h 10 min") != std::string::npos);
  CHECK(text.find("good ↓ 120 mm/min") != std::string::npos);
  CHECK(text.find("dry in 30 d 0 h") != std::string::npos);
  CHECK(joined(picture(site, {.unicode = false})).find("good ^ 3 mm/min") != std::string::npos);

  site.tanks.resize(6, site.tanks[0]);
  CHECK(joined(picture(site, {.columns = 160})).find("↑ 3 mm/min, full in 4 h 10 min") != std::string::npos);
  site.tanks[0].rate_mm_min = 0.0;
  site.tanks.resize(1);
  CHECK(joined(picture(site, {})).find("mm/min") == std::string::npos);
}

TEST_CASE("picture: a whole orchard with everything known fits the smallest terminal", "[report][picture]") {
  auto site = orchard();
  site.tanks[0].rate_mm_min = 3.0;
  site.tanks[0].time_to_full_s = 15000.0;
  site.tanks.resize(4, site.tanks[0]);
  site.pumps.resize(3, site.pumps[0]);
  for (int i = 0; i < 10; ++i)
    site.events.push_back(site.events[0]);
  const auto lines = picture(site, {});
  CHECK(lines.size() <= 24);
  CHECK(joined(lines).find("full in 4 h 10 min  full in 4 h 10 min") != std::string::npos);
  CHECK(joined(lines).find("Lift pump started.") != std::string::npos);
}

TEST_CASE("picture: a held pump names what holds it, and first out only while it stands",
          "[report][picture]") {
  auto site = orchard();
  site.pumps[0].state = "tripped";
  site.pumps[0].first_out = "contact-unreachable";
  site.pumps[0].held_by = {"tank-unknown", "contact-unreachable", "switch-unknown"};
  const PictureStyle wide{.columns = 120};
  CHECK(joined(picture(site, wide)).find("contact-unreachable, tank-unknown, switch-unknown") !=
        std::string::npos);
  site.pumps[0].held_by = {"tank-high"};
  const auto text = joined(picture(site, wide));
  CHECK(text.find("tank-high") != std::string::npos);
  CHECK(text.find("contact-unreachable") == std::string::npos);
}

TEST_CASE("picture: beside a pump stands what its motor takes, as far as there is room",
          "[report][picture][meter]") {
  auto site = orchard();
  CHECK(joined(picture(site, {})).find(" W") == std::string::npos);
  site.pumps[0].power_w = 821.46;
  site.pumps[0].energy_kwh = 41.235;
  CHECK(joined(picture(site, {})).find("12.4 h, 37 starts, 821 W") != std::string::npos);
  CHECK(joined(picture(site, {})).find("kWh") == std::string::npos);
  CHECK(joined(picture(site, {.columns = 100})).find("37 starts, 821 W, 41.2 kWh") != std::string::npos);
  site.pumps[0].power_w.reset();
  site.pumps[0].energy_kwh.reset();
  site.pumps[0].current_a = 4.16;
  CHECK(joined(picture(site, {})).find("37 starts, 4.2 A") != std::string::npos);
}

TEST_CASE("picture: a narrow terminal still shows every tank's percent and every held pump's worst cause",
          "[report][picture]") {
  auto site = orchard();
  site.tanks.resize(5, site.tanks[0]);
  const std::vector<std::string> reasons{"no-answer", "beyond-reach", "out-of-service", "starting"};
  for (std::size_t i = 0; i < reasons.size(); ++i) {
    site.tanks[i + 1].percent = std::nullopt;
    site.tanks[i + 1].reason = reasons[i];
  }
  site.pumps.resize(3, site.pumps[0]);
  site.pumps[1].name = "The bore pump with a long name";
  site.pumps[1].state = "locked-out";
  site.pumps[1].held_by = {"contact-unreachable", "tank-unknown"};
  site.pumps[1].first_out = "tank-unknown";
  site.pumps[2].state = "waiting";
  site.pumps[2].held_by = {"rest"};
  for (std::size_t columns = 23; columns <= 80; ++columns) {
    for (const bool unicode : {true, false}) {
      const auto lines = picture(site, {.rows = 24, .columns = columns, .unicode = unicode});
      const auto text = joined(lines);
      INFO(columns << " columns\n" << text);
      for (const auto& line : lines)
        CHECK(width_of(line) <= columns);
      CHECK(text.find("71.1 %") != std::string::npos);
      for (const auto& reason : reasons)
        CHECK(text.find("? " + reason) != std::string::npos);
      CHECK(text.find("running") != std::string::npos);
      CHECK(text.find("contact-unreachable") != std::string::npos);
      CHECK(text.find("rest") != std::string::npos);
    }
  }
  // At 40 columns the states and the beginning of every name are there, too.
  const auto text = joined(picture(site, {.rows = 24, .columns = 40}));
  for (const char* expected : {"Header tank", "locked-out", "waiting", "The b", "Lift pump"}) {
    INFO(expected << "\n" << text);
    CHECK(text.find(expected) != std::string::npos);
  }
}

TEST_CASE("picture: a line that is not open says why, in a row of its own", "[report][picture]") {
  auto site = orchard();
  site.lines.push_back({"mast", false, "cannot open /dev/ttyUSB1: No such file or directory", 0, 2});
  site.lines.push_back({"new", false, {}, 0, 0});
  const auto lines = picture(site, {});
  CHECK(lines[1].find("line shed · 1204 answers") != std::string::npos);
  CHECK(lines[2] == " line mast closed: cannot open /dev/ttyUSB1: No such file or directory");
  CHECK(lines[3] == " line new closed");
  site.lines.erase(site.lines.begin());
  CHECK(picture(site, {})[1].find("line mast closed: ") != std::string::npos);
}

TEST_CASE("picture: the clock is that of the one who looks", "[report][picture]") {
  CHECK(joined(picture(orchard(), {.utc_offset = 90min})).find("05:42:07") != std::string::npos);
  CHECK(joined(picture(orchard(), {.utc_offset = -5h})).find("23:12:07") != std::string::npos);
}

TEST_CASE("picture: no line is wider than the terminal, whatever the names", "[report][picture]") {
  for (const auto& site : {orchard(), crowded(), Snapshot{}}) {
    for (const std::size_t columns : {1U, 10U, 40U, 79U, 80U, 200U}) {
      for (const std::size_t rows : {1U, 2U, 8U, 12U, 24U, 60U}) {
        for (const bool unicode : {true, false}) {
          const auto lines = picture(site, {.rows = rows, .columns = columns, .unicode = unicode});
          REQUIRE(lines.size() <= rows);
          for (const auto& line : lines)
            REQUIRE(width_of(line) <= std::min<std::size_t>(columns, 160));
        }
      }
    }
  }
}

TEST_CASE("picture: without colour there is no escape, even from a name", "[report][picture]") {
  for (const bool unicode : {true, false}) {
    const auto text = joined(picture(crowded(), {.rows = 200, .colour = false, .unicode = unicode}));
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find('\r') == std::string::npos);
    CHECK(text.find('\t') == std::string::npos);
    CHECK(text.find('\x7f') == std::string::npos);
  }
}

TEST_CASE("picture: colour adds nothing but colour", "[report][picture]") {
  const auto plain = joined(picture(orchard(), {.colour = false}));
  const auto coloured = joined(picture(orchard(), {.colour = true}));
  CHECK(coloured != plain);
  CHECK(uncoloured(coloured) == plain);
}

TEST_CASE("picture: without UTF-8 it is plain ASCII and says the same", "[report][picture]") {
  const auto text = joined(picture(orchard(), {.unicode = false}));
  CHECK(is_ascii(text));
  for (const char* expected : {"Header tank", "71.1 %", "#######", "running", "header/low"}) {
    INFO(expected);
    CHECK(text.find(expected) != std::string::npos);
  }
  CHECK(is_ascii(joined(picture(crowded(), {.rows = 200, .unicode = false}))));
}

TEST_CASE("picture: an unknown level is called so and drawn as what was", "[report][picture]") {
  auto site = orchard();
  auto& tank = site.tanks[0];
  tank.level_m = tank.percent = tank.volume_l = tank.usable_l = tank.ullage_l = std::nullopt;
  tank.quality = "bad";
  tank.reason = "no-answer";
  tank.age_s = 12.0;
  site.tanks.resize(1);
  const auto text = joined(picture(site, {}));
  CHECK(text.find("unknown") != std::string::npos);
  CHECK(text.find("was 71 %") != std::string::npos);
  CHECK(text.find("12 s ago") != std::string::npos);
  CHECK(text.find("bad no-answer") != std::string::npos);
  CHECK(text.find("█") == std::string::npos);
  CHECK(text.find("░") != std::string::npos);
}

TEST_CASE("picture: water rises by eighths of a row and never out of the vessel", "[report][picture]") {
  auto site = orchard();
  site.tanks.resize(1);
  const auto cells_of = [&](double percent) {
    site.tanks[0].percent = percent;
    const auto lines = picture(site, {});
    int eighths = 0;
    for (const auto& line : lines) {
      const auto letters = letters_of(line);
      // The third cell of a line is the middle of the first vessel.
      if (letters.size() < 5 || letters[1].code != U'│') continue;
      const auto code = letters[4].code;
      if (code >= U'▁' && code <= U'█') eighths += static_cast<int>(code - U'▁') + 1;
    }
    return eighths;
  };
  CHECK(cells_of(0.0) == 0);
  CHECK(cells_of(-5.0) == 0);
  CHECK(cells_of(50.0) == 28);  // of 7 rows
  CHECK(cells_of(100.0) == 56);
  CHECK(cells_of(140.0) == 56);
  for (int percent = 1; percent <= 100; ++percent)
    CHECK(cells_of(percent) >= cells_of(percent - 1));
}

TEST_CASE("picture: many tanks become bars, and what does not fit is counted", "[report][picture]") {
  auto site = orchard();
  site.tanks.resize(6, site.tanks[0]);
  const auto bars = joined(picture(site, {}));
  CHECK(bars.find("more: see --json") == std::string::npos);
  const auto text = joined(picture(crowded(), {}));
  CHECK(text.find("more: see --json") != std::string::npos);
  CHECK(text.find("locked-out") != std::string::npos);  // the last of 42 pumps, but it asks for a person
}

TEST_CASE("letters: bytes that are no UTF-8 are one question mark each", "[report][picture]") {
  // The Unicode Standard, version 15, table 3-7: overlong forms, surrogates, too high, cut short.
  for (const char* bad :
       {"\xC0\x80", "\xED\xA0\x80", "\xF5\x80\x80\x80", "\xE2\x82", "\x80", "\xF4\x90\x80\x80"}) {
    for (const auto& letter : letters_of(bad))
      CHECK(letter.bytes == "?");
    CHECK(letters_of(bad).size() == std::string_view{bad}.size());
  }
  CHECK(letters_of("aé水\xF0\x9F\x92\xA7").size() == 4);
  CHECK(width_of("aé水\xF0\x9F\x92\xA7") == 6);
  CHECK(width_of("e\u0301") == 1);
}

TEST_CASE("picture: one field tells what the horn does, where there is one", "[report][picture][horn]") {
  auto site = orchard();
  CHECK(joined(picture(site, {})).find("horn") == std::string::npos);
  site.annunciators = {{.id = "yard"}, {.id = "gate"}};
  CHECK(joined(picture(site, {})).find("horn quiet") != std::string::npos);
  site.annunciators[0].silenced = true;
  CHECK(joined(picture(site, {})).find("horn silenced") != std::string::npos);
  site.annunciators[1].sounding = true;
  const auto text = joined(picture(site, {}));
  CHECK(text.find("horn sounding") != std::string::npos);
  CHECK(text.find("Hillside orchard") != std::string::npos);  // beside it
  CHECK(text.find("broker connected") != std::string::npos);
  CHECK(joined(picture(site, {.columns = 40})).find("horn") == std::string::npos);  // no room left for it
}
