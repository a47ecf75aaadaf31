// What a person asks is done or refused, answered under its number, and told as an event either way.

#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

/// header/low and cistern/low stand, unacknowledged.
SiteBench alarmed() {
  SiteBench bench;
  bench.scan_for(10s);
  bench.levels = {0.2, 0.2};
  bench.scan_for(90s);
  REQUIRE(bench.last.view.alarms[0].state == AlarmState::unacknowledged);
  REQUIRE(bench.last.view.alarms[2].state == AlarmState::unacknowledged);
  bench.story.clear();
  return bench;
}

SiteBench locked_out() {
  Model model = support::working_orchard();
  model.pumps[0].limits.run_at_most = 30s;
  SiteBench bench{model};
  bench.levels = {0.9, 1.5};
  bench.scan_for(2min);
  REQUIRE(bench.last.view.pumps[0].state == PumpState::locked_out);
  bench.story.clear();
  return bench;
}

}  // namespace

TEST_CASE("command: acknowledge one alarm", "[site][commands]") {
  SiteBench bench = alarmed();
  const Answer answer = bench.command(CommandKind::acknowledge, "header/low");
  CHECK(answer.done);
  CHECK(answer.number == bench.number());
  CHECK(bench.last.view.alarms[0].state == AlarmState::acknowledged);
  CHECK(bench.last.view.alarms[2].state == AlarmState::unacknowledged);
  CHECK(bench.told(EventKind::command, "header/low").size() == 1);
  REQUIRE(bench.told(EventKind::alarm, "header/low").size() == 1);
  CHECK(bench.told(EventKind::alarm, "header/low").front().cause == "acknowledged");
}

TEST_CASE("command: acknowledge all", "[site][commands]") {
  SiteBench bench = alarmed();
  CHECK(bench.command(CommandKind::acknowledge, "all").done);
  CHECK(bench.last.view.alarms[0].state == AlarmState::acknowledged);
  CHECK(bench.last.view.alarms[2].state == AlarmState::acknowledged);
  CHECK(bench.last.view.alarms[1].state == AlarmState::normal);
}

TEST_CASE("command: an alarm with nothing to acknowledge is refused", "[site][commands]") {
  SiteBench bench = alarmed();
  const Answer answer = bench.command(CommandKind::acknowledge, "header/high");
  CHECK_FALSE(answer.done);
  CHECK(bench.last.view.alarms[1].state == AlarmState::normal);
}

TEST_CASE("command: an unknown name is refused, said, and told what there is", "[site][commands]") {
  for (const CommandKind kind :
       {CommandKind::acknowledge, CommandKind::reset, CommandKind::mode, CommandKind::accept}) {
    SiteBench bench = alarmed();
    const Answer answer = bench.command(kind, "no such thing", "off");
    CHECK_FALSE(answer.done);
    CHECK(answer.number == bench.number());
    CHECK(answer.text.find("no such thing") != std::string::npos);
    CHECK(answer.text.find(kind == CommandKind::acknowledge ? "header/low"
                           : kind == CommandKind::accept    ? "cistern"
                                                            : "lift") != std::string::npos);
    const auto events = bench.told(EventKind::command, "no such thing");
    REQUIRE(events.size() == 1);
    CHECK(events.front().text.find("refused") != std::string::npos);
  }
}

TEST_CASE("command: without a name it is refused and still told", "[site][commands]") {
  SiteBench bench = alarmed();
  CHECK_FALSE(bench.command(CommandKind::acknowledge, "").done);
  REQUIRE_FALSE(bench.story.empty());
  CHECK_FALSE(bench.story.front().of.empty());
}

TEST_CASE("command: off stops the pump in the scan that carries it", "[site][commands]") {
  SiteBench bench;
  bench.levels = {0.9, 1.5};
  bench.scan_for(30s);
  REQUIRE(bench.on(0));
  CHECK(bench.command(CommandKind::mode, "lift", "off").done);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.last.view.pumps[0].mode == Mode::off);
  REQUIRE(bench.told(EventKind::stop, "lift").size() == 1);
  CHECK(bench.told(EventKind::stop, "lift").front().cause == "mode-off");
  CHECK(bench.command(CommandKind::mode, "lift", "auto").done);
  bench.scan_for(30s);
  CHECK(bench.on(0));
}

TEST_CASE("command: a mode that is none is refused and changes nothing", "[site][commands]") {
  for (const std::string mode : {"", "on", "OFF", "Hand", "auto "}) {
    SiteBench bench;
    bench.scan();
    const Answer answer = bench.command(CommandKind::mode, "lift", mode);
    CHECK_FALSE(answer.done);
    CHECK_FALSE(answer.text.empty());
    CHECK(bench.last.view.pumps[0].mode == Mode::automatic);
  }
}

TEST_CASE("command: reset ends a lock-out, and is refused when there is none", "[site][commands]") {
  SiteBench bench = locked_out();
  bench.scan_for(5min);
  CHECK(bench.last.view.pumps[0].state == PumpState::locked_out);
  CHECK(bench.command(CommandKind::reset, "lift").done);
  CHECK(bench.last.view.pumps[0].state != PumpState::locked_out);
  bench.levels[0] = 1.95;
  bench.scan();
  CHECK_FALSE(bench.command(CommandKind::reset, "lift").done);
}

TEST_CASE("command: no command but reset ends a lock-out", "[site][commands]") {
  SiteBench bench = locked_out();
  bench.command(CommandKind::mode, "lift", "off");
  bench.command(CommandKind::mode, "lift", "auto");
  bench.command(CommandKind::acknowledge, "all");
  bench.command(CommandKind::reset, "bore");
  bench.scan_for(5min);
  CHECK(bench.last.view.pumps[0].state == PumpState::locked_out);
  CHECK_FALSE(bench.on(0));
}

TEST_CASE("command: a latched alarm is reset after it returned, not before", "[site][commands]") {
  Model model = support::working_orchard();
  model.alarms[0].latch = true;
  SiteBench bench{model};
  bench.scan_for(10s);
  bench.levels[0] = 0.2;
  bench.scan_for(90s);
  CHECK_FALSE(bench.command(CommandKind::reset, "header/low").done);
  CHECK(bench.command(CommandKind::acknowledge, "header/low").done);
  bench.levels[0] = 1.5;
  bench.scan_for(10s);
  CHECK(bench.last.view.alarms[0].state == AlarmState::latched_acknowledged);
  CHECK(bench.command(CommandKind::reset, "header/low").done);
  CHECK(bench.last.view.alarms[0].state == AlarmState::normal);
}

TEST_CASE("command: several in one scan are carried out in order and all answered", "[site][commands]") {
  SiteBench bench;
  bench.scan();
  bench.image.commands = {{7, CommandKind::mode, "lift", "off"},
                          {8, CommandKind::mode, "lift", "auto"},
                          {9, CommandKind::mode, "bore", "off"},
                          {10, CommandKind::acknowledge, "nobody", ""}};
  bench.scan();
  REQUIRE(bench.last.answers.size() == 4);
  for (std::size_t at = 0; at < 4; ++at) {
    CHECK(bench.last.answers[at].number == 7 + at);
    CHECK(bench.last.answers[at].done == (at != 3));
  }
  CHECK(bench.last.view.pumps[0].mode == Mode::automatic);
  CHECK(bench.last.view.pumps[1].mode == Mode::off);
}

namespace {

Answer sent(SiteBench& bench, CommandKind kind, const std::string& target, const std::string& argument = "") {
  bench.image.commands.push_back(
      {.kind = kind, .target = target, .argument = argument, .origin = Origin::network});
  bench.scan();
  REQUIRE(bench.last.answers.size() == 1);
  return bench.last.answers.front();
}

}  // namespace

TEST_CASE("command: one that was sent says so in its event, done or refused", "[site][commands][network]") {
  SiteBench bench;
  bench.scan();
  CHECK(sent(bench, CommandKind::mode, "lift", "off").done);
  CHECK_FALSE(sent(bench, CommandKind::reset, "lift").done);
  bench.command(CommandKind::mode, "lift", "auto");
  const auto told = bench.told(EventKind::command, "lift");
  REQUIRE(told.size() == 3);
  CHECK(told[0].text == "lift is now in mode off (over MQTT).");
  CHECK(told[1].text == "refused: lift is not locked out (over MQTT).");
  CHECK(told[2].text.find("MQTT") == std::string::npos);
}

TEST_CASE("command: an off that was said on the spot is not undone by what is sent, and the answer says why",
          "[site][commands][network][rule-15]") {
  SiteBench bench;
  bench.scan();
  CHECK(bench.command(CommandKind::mode, "lift", "off").done);
  const Answer answer = sent(bench, CommandKind::mode, "lift", "auto");
  CHECK_FALSE(answer.done);
  CHECK(answer.text.find("on the spot") != std::string::npos);
  CHECK(bench.last.view.pumps[0].mode == Mode::off);
}

TEST_CASE("command: a lock-out is reset once by what is sent, and the answer says who must do it next",
          "[site][commands][network][rule-10]") {
  SiteBench bench = locked_out();
  CHECK(sent(bench, CommandKind::reset, "lift").done);
  bench.scan_for(2min);
  REQUIRE(bench.last.view.pumps[0].state == PumpState::locked_out);
  const Answer answer = sent(bench, CommandKind::reset, "lift");
  CHECK_FALSE(answer.done);
  CHECK(answer.text.find("a person on the spot") != std::string::npos);
  CHECK(bench.command(CommandKind::reset, "lift").done);
}
