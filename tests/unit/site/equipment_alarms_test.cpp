// Alarms of pumps, contacts, lines and the gateway itself: each rises, says what, where, the number, the
// limit and what to do, and returns.

#include <chrono>
#include <functional>

#include "support/bench_alarms.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;
using Act = std::function<void(SiteBench&)>;

namespace {

struct Fault {
  std::string alarm;
  Act provoke;
  Act mend;
  std::vector<std::string> says;  ///< in this order
};

/// Whether a text holds all of them, one after the other.
bool says(const std::string& text, const std::vector<std::string>& pieces) {
  std::size_t from = 0;
  for (const std::string& piece : pieces) {
    const std::size_t at = text.find(piece, from);
    if (at == std::string::npos) return false;
    from = at + piece.size();
  }
  return true;
}

void run_dry(SiteBench& bench) {
  bench.levels[1] = 0.29;
  bench.scan();
}

const std::vector<Fault> kFaults{
    {"lift/tripped",
     run_dry,
     [](SiteBench& bench) {
       bench.levels[1] = 0.6;
       bench.scan();
     },
     {"Lift pump: tripped alarm", "source-low", "Cistern: level 0.290 m (14.5 %), limit 0.300 m", "Wait"}},
    {"lift/tripped",
     [](SiteBench& bench) {
       bench.silent[0] = true;
       bench.scan_for(5s);
     },
     [](SiteBench& bench) {
       bench.silent[0] = false;
       bench.scan_for(5s);
     },
     {"Lift pump: tripped alarm", "tank-unknown", "Header tank: level unknown (stale)", "gauge"}},
    {"lift/locked-out",
     [](SiteBench& bench) {
       bench.model.pumps[0].limits.run_at_most = 2min;
       bench.scan_for(3min);
     },
     [](SiteBench& bench) { bench.command(CommandKind::reset, "lift"); },
     {"Lift pump: locked-out alarm", "over-time", "limit 2 min", "then reset"}},
    {"lift/stuck-on",
     [](SiteBench& bench) {
       bench.levels[0] = 2.0;
       bench.motors[0] = true;
       bench.scan_for(6s);
     },
     [](SiteBench& bench) {
       bench.motors[0].reset();
       bench.scan_for(2s);
       CHECK(bench.state_of("lift/stuck-on") == AlarmState::unacknowledged);  // nobody looked yet
       bench.command(CommandKind::reset, "lift");
     },
     {"Lift pump: stuck-on alarm", "although it is ordered off", "for more than 3 s", "Isolate"}},
    {"lift/no-feedback",
     [](SiteBench& bench) {
       bench.motors[0] = false;
       bench.scan_for(6s);
     },
     [](SiteBench& bench) {
       bench.motors[0].reset();
       bench.scan_for(12min);
     },
     {"Lift pump: no-feedback alarm", "not seen running", "for more than 3 s", "Check fuse"}},
    {"lift-contact/contact-unreachable",
     [](SiteBench& bench) {
       bench.deaf[0] = true;
       bench.scan_for(6s);
     },
     [](SiteBench& bench) {
       bench.deaf[0] = false;
       bench.scan_for(2s);
     },
     {"contact lift-contact: contact-unreachable alarm", "not confirmed", "it switches Lift pump", "live"}},
    {"shed/line-down",
     [](SiteBench& bench) {
       bench.image.readings.lines[0] = {false, 100, 1, "it was lost; waiting for it to come back"};
       bench.scan();
     },
     [](SiteBench& bench) {
       bench.image.readings.lines[0] = {true, 101, 1, ""};
       bench.scan();
     },
     {"line shed: line-down alarm", "it was lost",
      "with header-top, cistern-top, lift-contact, bore-contact on it", "cable"}},
    {"shed/line-down",
     [](SiteBench& bench) {
       bench.image.readings.lines[0].failed += 2;
       bench.scan();
       CHECK(bench.state_of("shed/line-down") == AlarmState::normal);  // two may be an accident
       ++bench.image.readings.lines[0].failed;
       bench.scan();
     },
     [](SiteBench& bench) {
       ++bench.image.readings.lines[0].answered;
       bench.scan();
     },
     {"line shed: line-down alarm", "nothing on it answers", "on it", "cable"}},
    {"orchard/clock",
     [](SiteBench& bench) {
       bench.image.local.reset();
       bench.scan();
     },
     [](SiteBench& bench) {
       bench.image.local = LocalTime{20000, 601};
       bench.scan();
     },
     {"Hillside orchard: clock alarm", "time of day is not known", "synchronisation"}},
};

}  // namespace

TEST_CASE("alarms: of equipment each rises, tells the whole story, and returns", "[site][alarms]") {
  for (const Fault& fault : kFaults) {
    INFO(fault.alarm);
    SiteBench bench = support::alarmed_lifting();
    REQUIRE(bench.on(0));
    REQUIRE(bench.state_of(fault.alarm) == AlarmState::normal);
    bench.story.clear();
    fault.provoke(bench);
    CHECK(bench.state_of(fault.alarm) == AlarmState::unacknowledged);
    const auto told = bench.told(EventKind::alarm, fault.alarm);
    REQUIRE(told.size() == 1);
    INFO(told.front().text);
    CHECK(told.front().cause == "unacknowledged");
    CHECK(says(told.front().text, fault.says));
    fault.mend(bench);
    CHECK(bench.state_of(fault.alarm) == AlarmState::returned_unacknowledged);
    CHECK(bench.told(EventKind::alarm, fault.alarm).size() == 2);
  }
}

TEST_CASE("alarms: an isolator that is not confirmed is told as a contact of its pump",
          "[site][alarms][rule-12]") {
  Model model = support::alarmed_orchard();
  const ContactIndex isolator{model.contacts.size()};
  model.contacts.push_back({.id = "lift-isolator", .line = LineIndex{0}});
  model.pumps[0].isolator = Isolator{isolator, 3s};
  support::add_alarm(model, isolator, "lift-isolator", AlarmKind::contact_unreachable);
  const std::string alarm = "lift-isolator/contact-unreachable";
  SiteBench bench = support::alarmed_lifting(model);
  REQUIRE(bench.last.view.pumps[0].state == PumpState::running);
  CHECK(bench.state_of(alarm) == AlarmState::normal);
  bench.deaf[isolator.at] = true;
  bench.scan_for(6s);
  CHECK(bench.state_of(alarm) == AlarmState::unacknowledged);
  CHECK(bench.state_of("lift-contact/contact-unreachable") == AlarmState::normal);
  const auto told = bench.told(EventKind::alarm, alarm);
  REQUIRE(told.size() == 1);
  CHECK(says(told.front().text, {"contact lift-isolator: contact-unreachable alarm", "not confirmed",
                                 "it isolates Lift pump", "live"}));
  bench.deaf[isolator.at] = false;
  bench.scan_for(2s);
  CHECK(bench.state_of(alarm) == AlarmState::returned_unacknowledged);
}

TEST_CASE("alarms: a text says nothing twice", "[site][alarms]") {
  SiteBench bench = support::alarmed_lifting();
  bench.motors[0] = false;
  bench.scan_for(6s);
  const std::string text = bench.told(EventKind::alarm, "lift/no-feedback").at(0).text;
  CHECK(text.find("no-feedback") == text.rfind("no-feedback"));
}

TEST_CASE("alarms: a disk that refuses raises state-file, and it stays until a person resets it",
          "[site][alarms][rule-23]") {
  SiteBench bench = support::alarmed_site();
  bench.scan_for(10s);
  bench.image.state_is_kept = false;
  bench.scan();
  CHECK(bench.state_of("orchard/state-file") == AlarmState::unacknowledged);
  const auto told = bench.told(EventKind::alarm, "orchard/state-file");
  REQUIRE(told.size() == 1);
  CHECK(says(told.front().text, {"Hillside orchard: state-file alarm", "not on the disk", "Check the disk"}));
  bench.image.state_is_kept = true;
  bench.scan();
  CHECK(bench.state_of("orchard/state-file") == AlarmState::latched_unacknowledged);
  bench.scan_for(1min);
  CHECK(bench.command(CommandKind::reset, "orchard/state-file").done);
  CHECK(bench.state_of("orchard/state-file") == AlarmState::returned_unacknowledged);
}

TEST_CASE(
    "alarms: a lost state raises state-file, told and latched, also through a restart before the first "
    "scan",
    "[site][alarms][rule-23]") {
  for (const bool restarted : {false, true}) {
    SiteBench bench = support::alarmed_site();
    distrust(bench.model, bench.memory, bench.now);
    if (restarted) bench.restart(1min);
    bench.scan();
    CHECK(bench.state_of("orchard/state-file") == AlarmState::unacknowledged);
    REQUIRE(bench.told(EventKind::alarm, "orchard/state-file").size() == 1);
    CHECK(bench.told(EventKind::alarm, "orchard/state-file").front().cause == "unacknowledged");
    bench.scan();
    CHECK(bench.state_of("orchard/state-file") == AlarmState::latched_unacknowledged);
    bench.restart(1h);
    bench.scan_for(1min);
    CHECK(bench.state_of("orchard/state-file") == AlarmState::latched_unacknowledged);
    CHECK(bench.command(CommandKind::acknowledge, "orchard/state-file").done);
    CHECK(bench.command(CommandKind::reset, "orchard/state-file").done);
    CHECK(bench.state_of("orchard/state-file") == AlarmState::normal);
  }
}

TEST_CASE("alarms: a pump that is switched off on purpose has no tripped alarm", "[site][alarms]") {
  SiteBench bench = support::alarmed_lifting();
  run_dry(bench);
  REQUIRE(bench.state_of("lift/tripped") == AlarmState::unacknowledged);
  bench.command(CommandKind::mode, "lift", "off");
  CHECK(bench.state_of("lift/tripped") == AlarmState::returned_unacknowledged);
  bench.command(CommandKind::mode, "lift", "auto");
  CHECK(bench.state_of("lift/tripped") == AlarmState::unacknowledged);  // it is still dry
}
