// Shelving: a person puts an alarm aside for a bounded time, and says why.

#include <chrono>

#include "support/bench_alarms.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

/// header/low stands, unacknowledged; there is nothing to lift.
SiteBench low() {
  SiteBench bench = support::alarmed_site();
  bench.levels = {0.3, 0.2};
  bench.scan_for(2min);
  REQUIRE(bench.state_of("header/low") == AlarmState::unacknowledged);
  bench.story.clear();
  return bench;
}

Command shelving(std::string alarm, Duration lasts, std::string because) {
  return {.kind = CommandKind::shelve,
          .target = std::move(alarm),
          .argument = "",
          .lasts = lasts,
          .because = std::move(because)};
}

}  // namespace

TEST_CASE("shelve: it is put aside for its time, with the reason, and comes back by itself",
          "[site][shelve]") {
  SiteBench bench = low();
  const Answer answer = bench.ask(shelving("header/low", 2h, "cleaning"));
  CHECK(answer.done);
  CHECK(answer.text == "header/low shelved for 2 h: cleaning");
  CHECK(bench.state_of("header/low") == AlarmState::shelved);
  REQUIRE(bench.told(EventKind::alarm, "header/low").size() == 1);
  CHECK(bench.told(EventKind::alarm, "header/low").front().text ==
        "Header tank: low alarm is shelved for 2 h: cleaning.");
  CHECK(bench.last.view.alarms[0].shelf->because == "cleaning");
  bench.scan_for(2h - 1s);
  CHECK(bench.state_of("header/low") == AlarmState::shelved);
  CHECK(bench.told(EventKind::alarm, "header/low").size() == 1);
  bench.scan();
  CHECK(bench.state_of("header/low") == AlarmState::unacknowledged);
  CHECK_FALSE(bench.last.view.alarms[0].shelf.has_value());
  CHECK(bench.told(EventKind::alarm, "header/low").size() == 2);
}

TEST_CASE("shelve: one whose cause has gone meanwhile comes back normal", "[site][shelve]") {
  SiteBench bench = low();
  bench.ask(shelving("header/low", 1h, "cleaning"));
  bench.levels[0] = 1.5;
  bench.scan_for(1h);
  CHECK(bench.state_of("header/low") == AlarmState::normal);
}

TEST_CASE("shelve: a person brings it back before its time, with its numbers", "[site][shelve]") {
  SiteBench bench = low();
  bench.ask(shelving("header/low", 1h, "cleaning"));
  const Answer answer = bench.command(CommandKind::unshelve, "header/low");
  CHECK(answer.done);
  CHECK(answer.text == "header/low is back: unacknowledged");
  CHECK(bench.state_of("header/low") == AlarmState::unacknowledged);
  CHECK(bench.told(EventKind::alarm, "header/low").back().text.find("level 0.300 m") != std::string::npos);
}

TEST_CASE("shelve: a pump's alarm that is brought back tells its cause", "[site][shelve]") {
  SiteBench bench = support::alarmed_lifting();
  bench.levels[1] = 0.29;
  bench.scan();
  bench.ask(shelving("lift/tripped", 1h, "known"));
  REQUIRE(bench.state_of("lift/tripped") == AlarmState::shelved);
  bench.command(CommandKind::unshelve, "lift/tripped");
  const std::string text = bench.told(EventKind::alarm, "lift/tripped").back().text;
  INFO(text);
  CHECK(text.find("source-low") != std::string::npos);
  CHECK(text.find("0.290 m") != std::string::npos);
}

TEST_CASE("shelve: its time is neither lost nor longer after a restart", "[site][shelve][rule-22]") {
  SiteBench bench = low();
  bench.ask(shelving("header/low", 2h, "cleaning"));
  bench.restart(30min);
  bench.scan_for(80min);
  CHECK(bench.state_of("header/low") == AlarmState::shelved);
  CHECK(bench.last.view.alarms[0].shelf->because == "cleaning");
  bench.scan_for(10min);
  CHECK(bench.state_of("header/low") != AlarmState::shelved);
}

TEST_CASE("shelve: after a restart of unknown length it is back at once", "[site][shelve][rule-22]") {
  SiteBench bench = low();
  bench.ask(shelving("header/low", 2h, "cleaning"));
  bench.restart(1min, false);
  bench.scan();
  CHECK(bench.state_of("header/low") == AlarmState::unacknowledged);
}

TEST_CASE("shelve: what cannot be done is refused, says why, and changes nothing",
          "[site][shelve][commands]") {
  struct Refusal {
    Command command;
    std::string says;
  };
  const std::vector<Refusal> refusals{
      {shelving("header/lowest", 1h, "cleaning"), "no alarm is named 'header/lowest'; there are: header/low"},
      {shelving("header", 1h, "cleaning"), "no alarm is named 'header'"},
      {shelving("all", 1h, "cleaning"), "no alarm is named 'all'"},
      {shelving("header/low", 59s, "cleaning"), "for 60 s to 24 h"},
      {shelving("header/low", 0s, "cleaning"), "for 60 s to 24 h"},
      {shelving("header/low", -1h, "cleaning"), "for 60 s to 24 h"},
      {shelving("header/low", 24h + 1s, "cleaning"), "for 60 s to 24 h"},
      {shelving("header/low", 1h, ""), "say why"},
      {{.kind = CommandKind::unshelve, .target = "header/low", .argument = ""}, "is not shelved"},
      {{.kind = CommandKind::unshelve, .target = "header/high", .argument = ""}, "is not shelved"},
      {{.kind = CommandKind::unshelve, .target = "pond/low", .argument = ""}, "no alarm is named 'pond/low'"},
  };
  for (const Refusal& refusal : refusals) {
    SiteBench bench = low();
    const Answer answer = bench.ask(refusal.command);
    INFO(refusal.command.target << ": " << answer.text);
    CHECK_FALSE(answer.done);
    CHECK(answer.text.find(refusal.says) != std::string::npos);
    CHECK(bench.state_of("header/low") == AlarmState::unacknowledged);
    const auto told = bench.told(EventKind::command, refusal.command.target);
    REQUIRE(told.size() == 1);
    CHECK(told.front().text.find("refused: ") == 0);
  }
}

TEST_CASE("shelve: that a motor may run is not shelved from afar", "[site][shelve][commands]") {
  for (const auto kind : {AlarmKind::stuck_on, AlarmKind::contact_unreachable}) {
    Model model = support::alarmed_orchard();
    const auto found = std::find_if(model.alarms.begin(), model.alarms.end(),
                                    [&](const Alarm& alarm) { return alarm.kind == kind; });
    REQUIRE(found != model.alarms.end());
    SiteBench bench = support::alarmed_site(model);
    Command command = shelving(found->id, 1h, "noise");
    command.origin = Origin::network;
    const Answer afar = bench.ask(command);
    CHECK_FALSE(afar.done);
    CHECK(afar.text.find("on the spot only") != std::string::npos);
    CHECK(bench.ask(shelving(found->id, 1h, "mending it")).done);
  }
}

TEST_CASE("shelve: what is aside already is not shelved, and its time is not made longer", "[site][shelve]") {
  SiteBench bench = low();
  bench.ask(shelving("header/low", 1h, "cleaning"));
  const Answer again = bench.ask(shelving("header/low", 24h, "still cleaning"));
  CHECK_FALSE(again.done);
  CHECK(again.text == "header/low is shelved already");
  bench.scan_for(1h);
  CHECK(bench.state_of("header/low") == AlarmState::unacknowledged);
  bench.command(CommandKind::service, "header", "out");
  const Answer out = bench.ask(shelving("header/low", 1h, "cleaning"));
  CHECK_FALSE(out.done);
  CHECK(out.text == "header/low is out-of-service already");
}

TEST_CASE("shelve: the shortest and the longest time are allowed", "[site][shelve]") {
  for (const Duration lasts : {Duration{1min}, Duration{24h}}) {
    SiteBench bench = low();
    CHECK(bench.ask(shelving("header/low", lasts, "cleaning")).done);
  }
}

TEST_CASE("shelve: what is shelved is neither acknowledged nor reset", "[site][shelve]") {
  SiteBench bench = low();
  bench.ask(shelving("header/low", 1h, "cleaning"));
  CHECK_FALSE(bench.command(CommandKind::acknowledge, "header/low").done);
  bench.levels[0] = 1.5;
  bench.scan_for(10s);
  const Answer answer = bench.command(CommandKind::reset, "header/low");
  CHECK_FALSE(answer.done);
  CHECK(answer.text == "header/low is shelved, not latched");
  CHECK(bench.state_of("header/low") == AlarmState::shelved);
}
