// The section of annunciators: what is built of it, what is refused, and what `check` finds unwise.
#include "stillwell/config/configuration.hpp"

#include <chrono>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/config_whole.hpp"

using namespace stillwell;
using namespace stillwell::config;
using namespace std::chrono_literals;
using support::whole;

namespace {

const std::string kBaseTail = R"(annunciators:
  yard: { contact: yard-horn, silence_switch: yard-button }
)";

/// The base of the other tests with a horn and a button, and with one more change.
std::string with_horn(const std::string& annunciators = kBaseTail, std::string_view from = "",
                      std::string_view to = "") {
  std::string text =
      support::base_with("  running: { line: shed, station: 10, table: discrete, address: 1 }\n",
                         "  running: { line: shed, station: 10, table: discrete, address: 1 }\n"
                         "  yard-button: { line: shed, station: 12, table: discrete, address: 0 }\n");
  text = support::replaced(text, "tanks:\n", "  yard-horn: { line: shed, station: 12, coil: 0 }\ntanks:\n");
  text += annunciators;
  return from.empty() ? text : support::replaced(text, from, to);
}

std::string horn(const std::string& keys) {
  return "annunciators:\n  yard: { " + keys + " }\n";
}

/// The one problem of a text.
Problem problem_of(const std::string& text) {
  const Loaded loaded = parse(text, "site.yaml");
  CHECK_FALSE(loaded.configuration);
  for (const Problem& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(loaded.problems.size() == 1);
  return loaded.problems.front();
}

void expect_refused(const std::string& text, const std::string& path, const std::string& says) {
  const Problem problem = problem_of(text);
  INFO(problem.to_text());
  CHECK(problem.path == path);
  CHECK(problem.line > 0);
  CHECK(problem.column > 0);
  CHECK(problem.text.find(says) != std::string::npos);
}

std::vector<Finding> coded(const std::string& code, const Configuration& site) {
  std::vector<Finding> found = examine(site);
  std::erase_if(found, [&](const Finding& finding) { return finding.code != code; });
  return found;
}

}  // namespace

TEST_CASE("annunciators: as little as a contact, and the defaults", "[config][horn]") {
  const auto site = whole(with_horn(horn("contact: yard-horn")));
  REQUIRE(site.model.annunciators.size() == 1);
  const Annunciator& yard = site.model.annunciators[0];
  CHECK(yard.id == "yard");
  CHECK(site.model.contacts.at(yard.contact.at).id == "yard-horn");
  CHECK(yard.contact_within == 3s);
  CHECK(yard.sounds_for == std::vector{Priority::high, Priority::medium});
  CHECK_FALSE(yard.silence_switch);
  CHECK_FALSE(yard.again_after);
}

TEST_CASE("annunciators: every key arrives", "[config][horn]") {
  const auto site = whole(with_horn(
      horn("contact: yard-horn, sounds_for: [low], silence_switch: yard-button, again_after: 30 min"),
      "address: 0 }\ncontacts", "address: 0, debounce: 250 ms }\ncontacts"));
  const Annunciator& yard = site.model.annunciators.at(0);
  CHECK(yard.sounds_for == std::vector{Priority::low});
  REQUIRE(yard.silence_switch);
  CHECK(site.model.switches.at(yard.silence_switch->input.at).id == "yard-button");
  CHECK(yard.silence_switch->debounce == 250ms);
  CHECK(yard.again_after == 30min);
  CHECK(whole(with_horn()).model.annunciators.at(0).silence_switch->debounce == 50ms);
}

TEST_CASE("annunciators: an alarm that stands when they sound again is a new one", "[config][horn]") {
  const auto site = whole(with_horn(horn("contact: yard-horn, sounds_for: [low], again_after: 30 min")));
  std::size_t low = 0;
  for (const Alarm& alarm : site.model.alarms) {
    INFO(alarm.id);
    CHECK(alarm.again_after ==
          (alarm.priority == Priority::low ? std::optional<Duration>{30min} : std::nullopt));
    low += alarm.priority == Priority::low ? 1 : 0;
  }
  CHECK(low > 0);
}

TEST_CASE("annunciators: their contact may drop out by itself, or not say how it fails", "[config][horn]") {
  CHECK_FALSE(whole(with_horn()).wiring.contacts.at(2).refresh);
  const auto refreshed = with_horn(kBaseTail, "station: 12, coil: 0 }",
                                   "station: 12, coil: 0, refresh: { address: 7, for: 5 s } }");
  CHECK(whole(refreshed).wiring.contacts.at(2).refresh);
}

TEST_CASE("annunciators: a pump's contact must still say how it fails", "[config][horn][errors]") {
  expect_refused(with_horn(kBaseTail, ", fails_off: wired", ""), "contacts.lift-contact",
                 "expected exactly one of refresh | fails_off: it switches pump 'lift'");
}

TEST_CASE("annunciators: a contact belongs to one pump or one annunciator", "[config][horn][errors]") {
  expect_refused(with_horn(horn("contact: lift-contact")), "annunciators.yard.contact",
                 "taken by pumps.lift.contact in line 55;");
  expect_refused(with_horn(kBaseTail + "  gate: { contact: yard-horn }\n"), "annunciators.gate.contact",
                 "taken by annunciators.yard.contact in line");
}

TEST_CASE("annunciators: two outputs on one coil are refused as for pumps", "[config][horn][errors]") {
  expect_refused(with_horn(kBaseTail, "station: 12, coil: 0", "station: 10, coil: 0"),
                 "contacts.yard-horn.coil", "coil 0 of station 10 is taken by contacts.lift-contact.coil");
}

TEST_CASE("annunciators: a switch that guards a pump is no button", "[config][horn][errors]") {
  for (const std::string guard : {"full-float", "running"}) {
    expect_refused(with_horn(horn("contact: yard-horn, silence_switch: " + guard)),
                   "annunciators.yard.silence_switch", "'" + guard + "' guards a pump");
  }
}

TEST_CASE("annunciators: what is written wrongly is told with its place", "[config][horn][errors]") {
  expect_refused(with_horn(horn("sounds_for: [high]")), "annunciators.yard", "missing key 'contact'");
  expect_refused(with_horn(horn("contact: yard-hron")), "annunciators.yard.contact", "'yard-horn'");
  expect_refused(with_horn(horn("contact: yard-horn, sounds_for: [loud]")), "annunciators.yard.sounds_for[0]",
                 "one of: low, medium, high");
  expect_refused(with_horn(horn("contact: yard-horn, sounds_for: []")), "annunciators.yard.sounds_for",
                 "one or more");
  expect_refused(with_horn(horn("contact: yard-horn, again_after: 30 s")), "annunciators.yard.again_after",
                 "1 min");
  expect_refused(with_horn(horn("contact: yard-horn, again_after: 25 h")), "annunciators.yard.again_after",
                 "24 h");
  expect_refused(with_horn(horn("contact: yard-horn, silence_switch: bell")),
                 "annunciators.yard.silence_switch", "there is no 'bell' among the switches");
  expect_refused(with_horn("annunciators:\n  all: { contact: yard-horn }\n"), "annunciators.all",
                 "choose another id");
  expect_refused(with_horn(kBaseTail, "address: 0 }\ncontacts", "address: 0, debounce: 6 s }\ncontacts"),
                 "switches.yard-button.debounce", "5 s");
}

TEST_CASE("annunciators: a debounce that nothing acts on is refused", "[config][horn][errors]") {
  expect_refused(with_horn(kBaseTail, "address: 1 }", "address: 1, debounce: 1 s }"),
                 "switches.running.debounce", "has no meaning");
  expect_refused(with_horn(horn("contact: yard-horn"), "address: 0 }\ncontacts",
                           "address: 0, debounce: 1 s }\ncontacts"),
                 "switches.yard-button.debounce", "has no meaning");
}

TEST_CASE("annunciators: a priority that nothing sounds for is noted", "[config][horn][findings]") {
  CHECK(coded("priority-unsounded", whole(support::kConfigBase)).empty());
  const std::string all = horn("contact: yard-horn, sounds_for: [low, medium, high]");
  CHECK(coded("priority-unsounded", whole(with_horn(all))).empty());
  const auto found =
      coded("priority-unsounded", whole(with_horn(horn("contact: yard-horn, sounds_for: [high]"))));
  REQUIRE_FALSE(found.empty());
  CHECK(found[0].severity == Severity::note);
  CHECK(found[0].of == "yard");
  CHECK(found[0].text.find("priority medium") != std::string::npos);
  CHECK(found[0].text.find("header/low") != std::string::npos);
}

TEST_CASE("annunciators: one that dies with the gauges it warns of is noted", "[config][horn][findings]") {
  CHECK(coded("annunciator-on-gauge-line", whole(support::kConfigBase)).empty());
  const auto found = coded("annunciator-on-gauge-line", whole(with_horn()));
  REQUIRE(found.size() == 1);
  CHECK(found[0].severity == Severity::note);
  CHECK(found[0].path == "annunciators.yard");
  CHECK(found[0].text.find("header, sump") != std::string::npos);
  CHECK(found[0].text.find("cistern") == std::string::npos);  // on another line
  CHECK(found[0].text.find("what remains") != std::string::npos);
  const std::string apart = support::replaced(
      with_horn(), "  mast:", "  yard: { port: /dev/ttyUSB2, speed: 9600 8N1, carries: modbus }\n  mast:");
  CHECK(coded("annunciator-on-gauge-line",
              whole(support::replaced(apart, "yard-horn: { line: shed", "yard-horn: { line: yard")))
            .empty());
}

TEST_CASE("annunciators: a horn without a drop-out is no pump without one", "[config][horn][findings]") {
  const auto risky =
      with_horn(kBaseTail, "station: 12, coil: 0 }", "station: 12, coil: 0, fails_off: accepted-risk }");
  CHECK(coded("contact-without-dropout", whole(risky)).empty());
}
