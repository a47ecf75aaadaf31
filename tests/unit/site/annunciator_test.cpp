// Annunciators in the whole site: they hear its alarms, obey commands and tell what they do; and no pump ever
// notices them.

#include <algorithm>
#include <chrono>

#include "support/bench_seed.hpp"
#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::Dice;
using support::SiteBench;

namespace {

constexpr std::size_t kHorn = 2;  // after the contacts of the two pumps

/// The orchard with a horn for medium and high, and a button, each the last of its list.
Model orchard_with_horn() {
  Model model = support::working_orchard();
  REQUIRE(model.contacts.size() == kHorn);
  model.contacts.push_back({"yard-horn"});
  model.switches.push_back({"yard-button", {.stale_after = 3s}});
  model.annunciators.push_back({.id = "yard",
                                .contact = {kHorn},
                                .contact_within = 3s,
                                .sounds_for = {Priority::high, Priority::medium},
                                .silence_switch = SilenceSwitch{{model.switches.size() - 1}, 50ms},
                                .again_after = 30min});
  return model;
}

void hold_button(SiteBench& bench, bool pressed) {
  bench.image.readings.switches.back() = {bench.now + 1s, pressed, Reason::none};
  bench.scan();
}

/// cistern/low stands unacknowledged, so the horn sounds.
SiteBench sounding() {
  SiteBench bench{orchard_with_horn()};
  hold_button(bench, false);
  bench.scan_for(10s);
  REQUIRE_FALSE(bench.on(kHorn));
  bench.levels = {1.5, 0.2};
  bench.scan_for(90s);
  REQUIRE(bench.on(kHorn));
  return bench;
}

std::vector<std::string> causes(const SiteBench& bench) {
  std::vector<std::string> found;
  for (const Event& event : bench.told(EventKind::alarm, "yard"))
    found.push_back(event.cause);
  return found;
}

}  // namespace

TEST_CASE("annunciator: an alarm of the site sounds it, and its return ends it", "[site][horn]") {
  SiteBench bench = sounding();
  CHECK(bench.last.view.annunciators.at(0).state == AnnunciatorState::sounding);
  bench.levels = {1.5, 1.5};
  bench.scan_for(3min);
  CHECK_FALSE(bench.on(kHorn));
  CHECK(causes(bench) == std::vector<std::string>{"sounding", "quiet"});
}

TEST_CASE("annunciator: an alarm of another priority does not sound it", "[site][horn]") {
  Model model = orchard_with_horn();
  for (Alarm& alarm : model.alarms)
    alarm.priority = Priority::low;
  SiteBench bench{model};
  bench.levels = {0.1, 0.1};
  bench.scan_for(5min);
  REQUIRE(std::ranges::any_of(bench.last.view.alarms, [](const AlarmView& alarm) {
    return alarm.state == AlarmState::unacknowledged;
  }));
  CHECK_FALSE(bench.on(kHorn));
}

TEST_CASE("annunciator: its button silences it, and the alarm stands", "[site][horn]") {
  SiteBench bench = sounding();
  hold_button(bench, false);
  hold_button(bench, true);
  hold_button(bench, true);
  CHECK_FALSE(bench.on(kHorn));
  CHECK(causes(bench).back() == "silenced");
  CHECK(bench.last.view.alarms.at(2).state == AlarmState::unacknowledged);
}

TEST_CASE("annunciator: acknowledging silences it", "[site][horn]") {
  SiteBench bench = sounding();
  CHECK(bench.command(CommandKind::acknowledge, "cistern/low").done);
  CHECK_FALSE(bench.on(kHorn));
  CHECK(causes(bench).back() == "silenced");
}

TEST_CASE("annunciator: shelving the only alarm ends it, and it comes back with the alarm", "[site][horn]") {
  SiteBench bench = sounding();
  bench.image.commands.push_back({1, CommandKind::shelve, "cistern/low", "", 10min, "cleaning"});
  bench.scan();
  REQUIRE(bench.last.view.alarms.at(2).state == AlarmState::shelved);
  CHECK_FALSE(bench.on(kHorn));
  bench.scan_for(9min);
  CHECK_FALSE(bench.on(kHorn));
  bench.scan_for(2min);
  CHECK(bench.on(kHorn));
}

TEST_CASE("annunciator: a tank out of service does not sound it", "[site][horn]") {
  SiteBench bench = sounding();
  CHECK(bench.command(CommandKind::service, "cistern", "out").done);
  for (Alarm& alarm : bench.model.alarms)
    if (alarm.of == AlarmSubject{TankIndex{0}}) alarm.priority = Priority::low;  // the header may suffer
  bench.scan();
  CHECK_FALSE(bench.on(kHorn));
}

TEST_CASE("annunciator: silence silences, and is refused where nothing sounds", "[site][horn][commands]") {
  for (const std::string target : {"yard", "all"}) {
    SiteBench bench = sounding();
    const Answer answer = bench.command(CommandKind::silence, target);
    CHECK(answer.done);
    CHECK(answer.text.find("yard") != std::string::npos);
    CHECK_FALSE(bench.on(kHorn));
    CHECK(causes(bench).back() == "silenced");
    CHECK_FALSE(bench.command(CommandKind::silence, target).done);
  }
}

TEST_CASE("annunciator: a test sounds it for three seconds, whatever it was", "[site][horn][commands]") {
  for (const std::string target : {"yard", "all"}) {
    SiteBench bench{orchard_with_horn()};
    bench.scan_for(10s);
    CHECK(bench.command(CommandKind::sound_horn, target).done);
    CHECK(bench.on(kHorn));
    CHECK(causes(bench) == std::vector<std::string>{"test"});
    bench.scan_for(2s);
    CHECK(bench.on(kHorn));
    bench.scan();
    CHECK_FALSE(bench.on(kHorn));
  }
  SiteBench bench = sounding();
  bench.command(CommandKind::silence, "yard");
  CHECK(bench.command(CommandKind::sound_horn, "yard").done);
  CHECK(bench.on(kHorn));
  bench.scan_for(3s);
  CHECK_FALSE(bench.on(kHorn));
}

TEST_CASE("annunciator: a name that is none is refused with what there is", "[site][horn][commands]") {
  for (const CommandKind kind : {CommandKind::silence, CommandKind::sound_horn}) {
    SiteBench bench{orchard_with_horn()};
    const Answer answer = bench.command(kind, "lift");
    CHECK_FALSE(answer.done);
    CHECK(answer.text.find("yard") != std::string::npos);
    SiteBench without;
    CHECK_FALSE(without.command(kind, "all").done);
  }
}

TEST_CASE("annunciator: a restart sounds an alarm that nobody acknowledged again", "[site][horn]") {
  SiteBench bench = sounding();
  bench.command(CommandKind::silence, "yard");
  REQUIRE_FALSE(bench.on(kHorn));
  bench.memory.annunciators = remember_nothing(bench.model).annunciators;  // the rest is kept on disk
  bench.scan();
  CHECK(bench.on(kHorn));
}

TEST_CASE("annunciator: a pump's contact is beyond its reach, also in a model that nobody checked",
          "[site][horn][property]") {
  Model model = orchard_with_horn();
  model.annunciators[0].contact = model.pumps[0].contact;
  SiteBench bench{model};
  bench.levels = {1.95, 0.2};
  bench.scan_for(90s);
  bench.command(CommandKind::sound_horn, "all");
  REQUIRE(bench.last.view.annunciators.at(0).order == Order::on);
  CHECK_FALSE(bench.on(0));
}

TEST_CASE("annunciator: with and without them the pumps' contacts are the same, bit for bit",
          "[site][horn][property]") {
  const auto seed = support::seed_or(20261126);
  INFO("seed " << seed);
  Dice dice{seed};
  int sounded = 0;
  int pumped = 0;
  for (int history = 0; history < 20; ++history) {
    Model with = orchard_with_horn();
    for (Alarm& alarm : with.alarms) {
      alarm.priority = static_cast<Priority>(dice.roll(3));
      alarm.after = std::chrono::seconds{dice.roll(60)};
      alarm.latch = dice.one_in(3);
    }
    if (dice.one_in(2)) with.annunciators[0].again_after.reset();
    with.annunciators.push_back(with.annunciators[0]);
    with.annunciators[1].id = "gate";
    with.annunciators[1].contact = {kHorn + static_cast<std::size_t>(dice.roll(2))};
    with.contacts.push_back({"gate-horn"});
    Model without = with;
    without.annunciators.clear();
    SiteBench loud{with};
    SiteBench still{without};
    for (int scan = 0; scan < 400; ++scan) {
      for (std::size_t tank = 0; tank < loud.levels.size(); ++tank)
        loud.levels[tank] = std::clamp(loud.levels[tank] + dice.between(-0.1, 0.1), -0.3, 2.6);
      still.levels = loud.levels;
      const bool pressed = dice.one_in(3);
      for (SiteBench* bench : {&loud, &still})
        bench->image.readings.switches.back() = {bench->now + 1s, pressed, Reason::none};
      if (dice.one_in(10)) {
        const std::vector<Command> commands{{1, CommandKind::silence, "all", ""},
                                            {2, CommandKind::sound_horn, "all", ""},
                                            {3, CommandKind::acknowledge, "all", ""},
                                            {4, CommandKind::sound_horn, "gate", ""}};
        const Command command = commands[static_cast<std::size_t>(dice.roll(4))];
        loud.image.commands.push_back(command);
        still.image.commands.push_back(command);
      }
      loud.scan();
      still.scan();
      for (std::size_t pump = 0; pump < with.pumps.size(); ++pump) {
        const std::size_t contact = with.pumps[pump].contact.at;
        REQUIRE(loud.last.contacts.at(contact) == still.last.contacts.at(contact));
        REQUIRE(loud.last.view.pumps[pump].held_by == still.last.view.pumps[pump].held_by);
        pumped += loud.on(contact) ? 1 : 0;
      }
      REQUIRE_FALSE(still.on(kHorn));
      sounded += loud.on(kHorn) || loud.on(kHorn + 1) ? 1 : 0;
    }
  }
  CHECK(sounded > 500);  // there was something to be disturbed by
  CHECK(pumped > 100);
}
