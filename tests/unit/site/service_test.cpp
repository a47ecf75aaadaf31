// Out of service (rules 15 and 16): a person works on a tank or a pump.

#include <algorithm>
#include <chrono>

#include "support/bench_alarms.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr std::size_t kHeader = 0;
constexpr std::size_t kLift = 0;
constexpr std::size_t kBore = 1;

/// The lift has just started, well within its shortest run of ten seconds.
SiteBench just_started() {
  SiteBench bench = support::alarmed_site();
  bench.levels = {1.2, 1.5};
  bench.scan_for(30s);
  bench.levels[kHeader] = 0.9;
  bench.scan();
  REQUIRE(bench.on(kLift));
  bench.story.clear();
  return bench;
}

bool is_held_by(const SiteBench& bench, std::size_t pump, Cause cause) {
  const auto& causes = bench.last.view.pumps[pump].held_by;
  return std::find(causes.begin(), causes.end(), cause) != causes.end();
}

}  // namespace

TEST_CASE("service: a tank that is taken out stops every pump that touches it, at once and with the cause",
          "[site][service][rule-16]") {
  for (const std::string tank : {"header", "cistern"}) {
    INFO(tank);
    SiteBench bench = just_started();
    CHECK(bench.command(CommandKind::service, tank, "out").done);
    CHECK_FALSE(bench.on(kLift));  // in the scan that carries it, within on_at_least
    REQUIRE(bench.told(EventKind::stop, "lift").size() == 1);
    CHECK(bench.told(EventKind::stop, "lift").front().cause == "service-out");
    CHECK(bench.told(EventKind::trip, "lift").empty());
    CHECK(is_held_by(bench, kLift, Cause::service_out));
    CHECK(bench.last.view.pumps[kLift].state == PumpState::out_of_service);
    const bool touches_bore = tank == "cistern";
    CHECK((bench.last.view.pumps[kBore].state == PumpState::out_of_service) == touches_bore);
    bench.scan_for(1h);
    CHECK_FALSE(bench.on(kLift));
    CHECK(bench.command(CommandKind::service, tank, "in").done);
    bench.scan_for(1min);
    CHECK(bench.on(kLift));
  }
}

TEST_CASE("service: a pump that is taken out stops alone", "[site][service][rule-16]") {
  SiteBench bench = just_started();
  bench.levels[1] = 0.9;  // the bore runs as well
  bench.scan_for(2s);
  REQUIRE(bench.on(kBore));
  const Answer answer = bench.command(CommandKind::service, "lift", "out");
  CHECK(answer.done);
  CHECK(answer.text.find("held: lift (being switched off, NOT CONFIRMED yet).") != std::string::npos);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.on(kBore));
  CHECK(bench.last.view.tanks[kHeader].level.usable());
}

TEST_CASE("service: of a tank that is out no level is known, and says why", "[site][service][rule-16]") {
  SiteBench bench = just_started();
  bench.command(CommandKind::service, "header", "out");
  CHECK(bench.last.view.tanks[kHeader].out_of_service);
  CHECK(bench.last.view.tanks[kHeader].level.quality == Quality::bad);
  CHECK(bench.last.view.tanks[kHeader].level.reason == Reason::out_of_service);
  CHECK_FALSE(bench.last.view.tanks[kHeader].contents.has_value());
  bench.command(CommandKind::service, "header", "in");
  CHECK(bench.last.view.tanks[kHeader].level.usable());
}

TEST_CASE("service: the time in which a tank is out is unknown to its accounts, not dry",
          "[site][service][accounts]") {
  SiteBench bench = just_started();
  bench.scan_for(1min);
  bench.command(CommandKind::service, "header", "out");
  bench.scan_for(1h);
  bench.command(CommandKind::service, "header", "in");
  bench.scan_for(2min);
  const auto today = bench.last.view.tanks[kHeader].figures.today;
  REQUIRE(today.has_value());
  CHECK(today->unknown >= 59min);
  CHECK(today->known <= 5min);
}

TEST_CASE("service: alarms of what is out are out with it, but for those that say that a motor may run",
          "[site][service][alarms]") {
  SiteBench bench = just_started();
  bench.command(CommandKind::service, "header", "out");
  bench.command(CommandKind::service, "lift", "out");
  for (const std::string alarm :
       {"header/low", "header/high", "lift/tripped", "lift/locked-out", "lift/no-feedback"}) {
    INFO(alarm);
    CHECK(bench.state_of(alarm) == AlarmState::out_of_service);
  }
  CHECK(bench.state_of("cistern/low") == AlarmState::normal);
  CHECK(bench.state_of("bore/tripped") == AlarmState::normal);
  bench.motors[kLift] = true;
  bench.scan_for(6s);
  CHECK(bench.state_of("lift/stuck-on") == AlarmState::unacknowledged);
  CHECK(bench.last.view.pumps[kLift].state == PumpState::out_of_service);  // rule 15: above a lock-out
}

TEST_CASE("service: a contact that cannot be reached is told although its pump is out",
          "[site][service][alarms]") {
  SiteBench bench = just_started();
  bench.command(CommandKind::service, "lift", "out");
  bench.deaf[kLift] = true;
  bench.scan_for(6s);
  CHECK(bench.state_of("lift-contact/contact-unreachable") == AlarmState::unacknowledged);
}

TEST_CASE("service: who puts a well tank back in service hears no alarm of it", "[site][service][alarms]") {
  Model model = support::alarmed_orchard();
  support::add_alarm(model, TankIndex{0}, "header", AlarmKind::unwell);
  for (const Duration clear_after : {Duration{0s}, Duration{30s}}) {
    model.alarms.back().clear_after = clear_after;
    SiteBench bench = support::alarmed_site(model);
    bench.levels = {1.5, 1.5};
    bench.scan_for(1min);
    bench.command(CommandKind::acknowledge, "all");  // of the start
    bench.command(CommandKind::service, "header", "out");
    bench.scan_for(3h);
    bench.story.clear();
    bench.command(CommandKind::service, "header", "in");
    bench.scan_for(5min);
    for (const std::string alarm : {"header/low", "header/high", "header/unwell"}) {
      INFO(alarm);
      CHECK(bench.state_of(alarm) == AlarmState::normal);
      CHECK(bench.told(EventKind::alarm, alarm).empty());  // nobody had heard of it
    }
  }
}

TEST_CASE("service: an alarm that stood is judged by the water, not by the time before",
          "[site][service][alarms]") {
  for (const bool filled : {false, true}) {
    SiteBench bench = support::alarmed_site();
    bench.levels = {0.3, 0.2};  // nothing to lift
    bench.scan_for(2min);
    REQUIRE(bench.state_of("header/low") == AlarmState::unacknowledged);
    bench.command(CommandKind::service, "header", "out");
    CHECK(bench.state_of("header/low") == AlarmState::out_of_service);
    bench.levels[kHeader] = filled ? 1.5 : 0.3;
    bench.scan_for(1h);
    bench.command(CommandKind::service, "header", "in");
    CHECK(bench.state_of("header/low") == (filled ? AlarmState::normal : AlarmState::unacknowledged));
  }
}

TEST_CASE("service: it survives a restart", "[site][service][rule-23]") {
  for (const bool known : {false, true}) {
    SiteBench bench = just_started();
    bench.command(CommandKind::service, "header", "out");
    bench.command(CommandKind::service, "bore", "out");
    bench.restart(1h, known);
    bench.levels = {0.5, 0.9};
    bench.scan_for(10min);
    CHECK(bench.last.view.tanks[kHeader].out_of_service);
    CHECK_FALSE(bench.on(kLift));
    CHECK_FALSE(bench.on(kBore));
    CHECK(bench.last.view.pumps[kBore].state == PumpState::out_of_service);
    CHECK(bench.state_of("header/low") == AlarmState::out_of_service);
    bench.command(CommandKind::service, "header", "in");
    bench.command(CommandKind::service, "bore", "in");
    bench.scan_for(2min);
    CHECK(bench.on(kLift));
    CHECK(bench.on(kBore));
  }
}

TEST_CASE("service: what cannot be done is refused and says why", "[site][service][commands]") {
  struct Refusal {
    std::string target, argument, says;
  };
  for (const Refusal& refusal :
       {Refusal{"pond", "out", "no tank or pump is named 'pond'"}, Refusal{"", "out", "header, cistern"},
        Refusal{"header", "", "expected in or out"}, Refusal{"header", "OUT", "expected in or out"},
        Refusal{"lift", "off", "expected in or out"}, Refusal{"header", "in", "is in service already"}}) {
    SiteBench bench = just_started();
    const Answer answer = bench.command(CommandKind::service, refusal.target, refusal.argument);
    INFO(answer.text);
    CHECK_FALSE(answer.done);
    CHECK(answer.text.find(refusal.says) != std::string::npos);
    CHECK(bench.on(kLift));
  }
  SiteBench bench = just_started();
  bench.command(CommandKind::service, "lift", "out");
  const Answer twice = bench.command(CommandKind::service, "lift", "out");
  CHECK_FALSE(twice.done);
  CHECK(twice.text.find("is out of service already") != std::string::npos);
}

TEST_CASE("service: the answer names every pump that is held, and what it does not do", "[site][service]") {
  SiteBench bench = just_started();
  const Answer out = bench.command(CommandKind::service, "cistern", "out");
  INFO(out.text);
  CHECK(out.text.find("held: lift (being switched off, NOT CONFIRMED yet), bore (contact off).") !=
        std::string::npos);
  CHECK(out.text.find("isolate and lock out") != std::string::npos);
  const Answer in = bench.command(CommandKind::service, "cistern", "in");
  CHECK(in.text.find("a pump may start at once; no pump is held") != std::string::npos);
}

TEST_CASE("service: whoever goes there is told that a motor may be running", "[site][service]") {
  SiteBench stuck = just_started();
  stuck.scan_for(1min);
  stuck.command(CommandKind::mode, "lift", "off");
  stuck.motors[kLift] = true;
  stuck.scan_for(1min);
  CHECK(stuck.command(CommandKind::service, "lift", "out").text.find("lift (it MAY BE RUNNING: stuck-on)") !=
        std::string::npos);
  SiteBench deaf = just_started();
  deaf.deaf[kLift] = true;
  deaf.scan_for(1min);
  CHECK(deaf.command(CommandKind::service, "lift", "out")
            .text.find("lift (it MAY BE RUNNING: contact-unreachable)") != std::string::npos);
}

TEST_CASE("service: a motor that was stuck on is not off because nobody can see it",
          "[site][service][rules]") {
  SiteBench bench = just_started();
  bench.scan_for(1min);
  bench.command(CommandKind::mode, "lift", "off");
  bench.motors[kLift] = true;
  bench.scan_for(1min);
  REQUIRE(bench.memory.pumps[kLift].lock_out == Cause::stuck_on);
  const std::size_t feedback = bench.model.pumps[kLift].feedback->input.at;
  for (int again = 0; again < 2; ++again) {
    bench.mute.insert(feedback);  // the module of the feedback dies, and once more after a restart
    bench.scan_for(1min);
    CHECK(bench.command(CommandKind::service, "lift", "out").text.find("MAY BE RUNNING: stuck-on") !=
          std::string::npos);
    CHECK_FALSE(bench.command(CommandKind::reset, "lift").done);
    CHECK(bench.state_of("lift/stuck-on") == AlarmState::unacknowledged);
    bench.command(CommandKind::service, "lift", "in");
    bench.restart(1min);
  }
  bench.mute.clear();
  bench.motors[kLift] = false;
  bench.scan_for(1min);
  Command afar{.kind = CommandKind::reset, .target = "lift", .argument = "", .origin = Origin::network};
  CHECK_FALSE(bench.ask(afar).done);
  CHECK(bench.command(CommandKind::service, "lift", "out").text.find("motor seen to stand") !=
        std::string::npos);
  CHECK(bench.command(CommandKind::reset, "lift").done);
}

TEST_CASE("service: who was told that an alarm went is told when it is normal", "[site][service][alarms]") {
  SiteBench bench = support::alarmed_site();
  bench.levels = {0.3, 0.2};
  bench.scan_for(2min);
  bench.command(CommandKind::service, "header", "out");
  bench.scan_for(1min);
  bench.restart(1min);
  bench.levels[kHeader] = 1.5;
  bench.scan_for(1min);
  bench.story.clear();
  bench.command(CommandKind::service, "header", "in");
  bench.scan_for(1min);
  REQUIRE(bench.told(EventKind::alarm, "header/low").size() == 1);
  CHECK(bench.told(EventKind::alarm, "header/low").front().cause == "normal");
}

TEST_CASE("service: a latch that arises where nobody hears of it is on the disk at once",
          "[site][service][alarms][rule-23]") {
  Model model = support::alarmed_orchard();
  for (Alarm& alarm : model.alarms)
    alarm.latch = true;
  SiteBench bench = support::alarmed_site(model);
  bench.scan_for(1min);
  bench.command(CommandKind::service, "lift", "out");
  bench.scan_for(5s);
  CHECK_FALSE(bench.last.must_be_kept);
  bench.memory.pumps[kLift].feedback_failures = 1;  // its alarm is out of service with it
  bench.scan();
  CHECK(bench.last.events.empty());
  CHECK(bench.last.must_be_kept);
}

TEST_CASE("service: a trip is not over because nobody asks the levels", "[site][service]") {
  SiteBench bench = just_started();
  bench.levels[1] = 0.2;  // below source_below
  bench.scan_for(5s);
  REQUIRE(bench.last.view.pumps[kLift].state == PumpState::tripped);
  bench.story.clear();
  bench.command(CommandKind::service, "lift", "out");
  bench.scan_for(1min);
  CHECK(bench.told(EventKind::service, "lift").empty());
  bench.command(CommandKind::service, "lift", "in");
  bench.scan_for(1min);
  CHECK(bench.last.view.pumps[kLift].state == PumpState::tripped);
  CHECK(bench.told(EventKind::trip, "lift").empty());  // it is the same one
}
