// Switches and contacts on pins of the computer itself.
#include "stillwell/config/configuration.hpp"

#include <algorithm>
#include <string>
#include <variant>

#include "support/catch.hpp"
#include "support/config_broken.hpp"
#include "support/config_whole.hpp"

using namespace stillwell;
using namespace stillwell::config;
using support::expect_refused;
using support::whole;

namespace {

const char* const kFloat = "full-float: { line: shed, station: 10, table: discrete, address: 0, active: low,";
const char* const kRunning = "running: { line: shed, station: 10, table: discrete, address: 1 }";
const char* const kLift = "lift-contact: { line: shed, station: 10, coil: 0, fails_off: wired }";

}  // namespace

TEST_CASE("pins: a board becomes a line behind those of the file, once", "[config][pins]") {
  const Configuration site =
      whole(support::base_with(kRunning,
                               "running: { board: gpiochip0, pin: 27, active: low, pull: up }\n"
                               "  spare: { board: gpiochip1, pin: 27 }\n"
                               "  door: { board: gpiochip0, pin: 22, pull: down }"));
  REQUIRE(site.wiring.lines.size() == 4);
  REQUIRE(site.model.lines.size() == 4);
  CHECK(site.model.lines[2].id == "gpiochip0");
  CHECK(site.wiring.lines[2].carries == Carries::pins);
  CHECK(site.wiring.lines[2].port == "/dev/gpiochip0");
  CHECK(site.model.lines[3].id == "gpiochip1");
  const SwitchWiring& running = site.wiring.switches.at(1);
  CHECK(running.line == LineIndex{2});
  REQUIRE(running.pin.has_value());
  CHECK(running.pin->at == 27);
  CHECK(running.pin->pull == Pull::up);
  CHECK_FALSE(running.pin->active_low);  // the rules turn it round
  CHECK(site.model.switches.at(1).rules.active_low);
  CHECK(site.wiring.switches.at(2).pin->pull == Pull::none);
  CHECK(site.wiring.switches.at(3).line == LineIndex{2});
  CHECK(site.wiring.switches.at(3).pin->pull == Pull::down);
}

TEST_CASE("pins: a pump's contact may be one, and says how it fails as any other", "[config][pins]") {
  const Configuration site = whole(support::base_with(
      kLift, "lift-contact: { board: gpiochip0, pin: 17, active: low, fails_off: wired }"));
  const ContactWiring& lift = site.wiring.contacts.at(0);
  const auto* pin = std::get_if<Pin>(&lift.output);
  REQUIRE(pin != nullptr);
  CHECK(pin->at == 17);
  CHECK(pin->active_low);
  CHECK_FALSE(lift.accepted_risk);
  CHECK(site.model.contacts.at(0).line == LineIndex{2});
  const auto bare = parse(support::base_with(kLift, "lift-contact: { board: gpiochip0, pin: 17 }"), "s.yaml");
  REQUIRE(bare.problems.size() == 1);
  CHECK(bare.problems[0].text.find("fails_off") != std::string::npos);
  CHECK(bare.problems[0].text.find("refresh is for a relay module") != std::string::npos);
}

TEST_CASE("pins: what does not fit together is refused", "[config][pins][errors]") {
  expect_refused({
      {kRunning, "running: { board: gpiochip0 }", 21, 3, "switches.running", "pin"},
      {kRunning, "running: { pin: 3 }", 21, 3, "switches.running", "expected exactly one of line | board"},
      {kRunning, "running: { board: gpiochip0, pin: 3, station: 1 }", 21, 40, "switches.running.station",
       "has no meaning together with board"},
      {kRunning, "running: { line: shed, station: 10, table: discrete, address: 1, pull: up }", 21, 68,
       "switches.running.pull", "has no meaning together with line"},
      {kRunning, "running: { line: shed, table: discrete, address: 1 }", 21, 3, "switches.running",
       "station"},
      {kRunning, "running: { board: gpiochip0, pin: -1 }", 21, 37, "switches.running.pin", "0 to 1023"},
      {kRunning, "running: { board: /dev/gpiochip0, pin: 1 }", 21, 21, "switches.running.board",
       "an id of a-z"},
      {kRunning, "running: { board: shed, pin: 1 }", 21, 21, "switches.running.board",
       "a line has this id too"},
      {kLift, "lift-contact: { board: gpiochip0, pin: 17, refresh: { address: 1, for: 5 s } }", 23, 46,
       "contacts.lift-contact.refresh", "has no meaning together with board"},
      {kLift, "lift-contact: { line: shed, station: 10, coil: 0, active: low, fails_off: wired }", 23, 53,
       "contacts.lift-contact.active", "has no meaning together with line"},
  });
}

TEST_CASE("pins: one pin is not given to two", "[config][pins][errors]") {
  expect_refused({
      {kRunning, "running: { board: gpiochip0, pin: 5 }\n  door: { board: gpiochip0, pin: 5 }", 22, 34,
       "switches.door.pin", "pin 5 of gpiochip0 is taken by switches.running.pin in line 21"},
      {"  running: { line: shed, station: 10, table: discrete, address: 1 }\ncontacts:\n",
       "  running: { board: gpiochip0, pin: 5 }\ncontacts:\n  horn: { board: gpiochip0, pin: 5 }\n", 23, 34,
       "contacts.horn.pin", "is taken by switches.running.pin in line 21"},
  });
}

TEST_CASE("pins: a trip on a pin whose open wire would not trip is found", "[config][pins][findings]") {
  const auto blind = [](const std::string& keys) {
    const auto all = examine(whole(support::base_with(
        kFloat, "full-float: { board: gpiochip0, pin: 5, broken: on" + keys +
                    " }\n  old: { "
                    "line: shed, station: 10, table: discrete, address: 0, active: low,")));
    return std::any_of(all.begin(), all.end(),
                       [](const Finding& one) { return one.code == "broken-wire-unseen"; });
  };
  CHECK_FALSE(blind(", pull: up, active: high"));
  CHECK(blind(", pull: up, active: low"));
  CHECK(blind(", pull: down, active: high"));
  CHECK_FALSE(blind(", pull: down, active: low"));
  CHECK(blind(""));
}

TEST_CASE("pins: a flow switch on a pin whose open wire would pass for flow is found",
          "[config][pins][findings]") {
  const auto blind = [](const std::string& keys) {
    std::string text = support::base_with(
        "contacts:\n", "  flow: { board: gpiochip0, pin: 5, broken: off" + keys + " }\ncontacts:\n");
    text = support::replaced(text, "source_below: 15 %", "source_below: 15 %, flow: { switch: flow }");
    const auto all = examine(whole(text));
    return std::any_of(all.begin(), all.end(),
                       [](const Finding& one) { return one.code == "broken-wire-unseen"; });
  };
  CHECK_FALSE(blind(", pull: up, active: low"));
  CHECK(blind(", pull: up, active: high"));
  CHECK(blind(", pull: down, active: low"));
  CHECK_FALSE(blind(", pull: down, active: high"));
  CHECK(blind(""));
}
