// The grammar of pump sets, and what two pumps of one duty cannot be.

#include "stillwell/config/configuration.hpp"

#include <string>

#include "support/catch.hpp"
#include "support/config_broken.hpp"
#include "support/config_floats.hpp"

using namespace stillwell;
using support::expect_refused;
using support::replaced;
using support::told;

namespace {

/// The base with a spare beside its lift pump.
std::string paired() {
  std::string text = replaced(support::kConfigBase, "    start_at: 45 %\n    stop_at: 92 %\n", "");
  text = replaced(text, "contacts:\n",
                  "contacts:\n  spare-contact: { line: shed, station: 10, coil: 1, fails_off: wired }\n");
  text = replaced(text, "  drain:\n    duty",
                  "  spare:\n    duty: fill\n    tank: header\n    from: cistern\n"
                  "    contact: spare-contact\n"
                  "    dry_run: { source_below: 15 % }\n  drain:\n    duty");
  return text +
         "pump_sets:\n"
         "  lifts: { pumps: [lift, spare], order: fixed, start_at: 45 %, second_at: 30 %, stop_at: 92 % }\n";
}

/// And the sump kept by floats, with two drain pumps.
std::string paired_by_floats() {
  const std::string text =
      replaced(support::sound_by_floats(), "contacts:\n",
               "contacts:\n  help-contact: { line: shed, station: 10, coil: 1, fails_off: wired }\n");
  return text +
         "  help:\n    duty: drain\n    tank: sump\n    contact: help-contact\n"
         "pump_sets:\n"
         "  drains: { pumps: [drain, help] }\n";
}

}  // namespace

TEST_CASE("pump sets: their levels are those of every member", "[config][set]") {
  const auto loaded = config::parse(paired(), "site.yaml");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  const Model& model = loaded.configuration->model;
  REQUIRE(model.sets.size() == 1);
  const PumpSet& set = model.sets[0];
  CHECK(set.id == "lifts");
  CHECK(set.order == SetOrder::fixed);
  CHECK(set.pumps == std::vector<PumpIndex>{{0}, {1}});
  const double full = model.tanks[0].full().value();
  CHECK(set.second_level->value() == Approx(0.30 * full));
  for (const PumpIndex pump : set.pumps) {
    CHECK(model.pumps[pump.at].start_level.value() == Approx(0.45 * full));
    CHECK(model.pumps[pump.at].stop_level.value() == Approx(0.92 * full));
    CHECK(model.pumps[pump.at].high_trip->value() == Approx(0.94 * full));
  }
  CHECK(config::parse(replaced(paired(), "order: fixed, ", ""), "site.yaml")
            .configuration->model.sets[0]
            .order == SetOrder::alternate);
}

TEST_CASE("pump sets: floats need no levels", "[config][set]") {
  const auto loaded = config::parse(paired_by_floats(), "site.yaml");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  CHECK(loaded.configuration->model.sets[0].pumps.size() == 2);
  CHECK_FALSE(loaded.configuration->model.sets[0].second_level);
}

TEST_CASE("pump sets: what cannot be one is refused where it stands", "[config][set]") {
  const char* both = "pumps: [lift, spare]";
  expect_refused(
      paired(),
      {
          {both, "pumps: [lift, spar]", "pumps: [lift, |spar", "pump_sets.lifts.pumps[1]", "did you mean"},
          {"order: fixed", "order: lead", "order: |lead", "pump_sets.lifts.order", "alternate"},
          {"start_at: 45 %, second_at", "second_at", "|lifts", "pump_sets.lifts", "missing key 'start_at'"},
          {", stop_at: 92 %", "", "|lifts", "pump_sets.lifts", "missing key 'stop_at'"},
          {"second_at: 30 %", "second_at: 50 %", "second_at: |50", "pump_sets.lifts.second_at",
           "calls its second pump below its start_at"},
          {"stop_at: 92 %", "stop_at: 40 %", "stop_at: |40", "pump_sets.lifts.stop_at",
           "stops above its start_at"},
          {"    contact: spare-contact\n", "    contact: spare-contact\n    start_at: 40 %\n",
           "start_at: |40 %", "pumps.spare.start_at", "belongs to the set 'lifts'"},
          {"    contact: spare-contact\n", "    contact: spare-contact\n    needs: [lift]\n", "|[lift]",
           "pumps.spare.needs", "each would wait for the other"},
          {"  lifts: {", "  header: {", "|header: { pumps", "pump_sets.header", "a tank in line"},
          {"  lifts: {", "  drain: {", "|drain: { pumps", "pump_sets.drain", "a pump in line"},
      });
}

TEST_CASE("pump sets: fewer than two pumps of one duty are none", "[config][set]") {
  const char* both = "pumps: [lift, spare]";
  expect_refused(
      replaced(paired(), "    contact: spare-contact\n",
               "    contact: spare-contact\n    start_at: 45 %\n    stop_at: 92 %\n"),
      {
          {both, "pumps: [lift]", "|[lift]", "pump_sets.lifts.pumps", "expected a list of two or more"},
          {both, "pumps: [lift, lift]", "|[lift, lift]", "pump_sets.lifts.pumps",
           "'lift' is in set 'lifts' already"},
          {both, "pumps: [lift, drain]", "duty: |drain", "pumps.drain.duty",
           "a set has one duty at one tank"},
      });
}

TEST_CASE("pump sets: one pump is in one set", "[config][set]") {
  const auto loaded = config::parse(
      paired() + "  again: { pumps: [spare, lift], start_at: 45 %, stop_at: 92 % }\n", "site.yaml");
  CHECK_FALSE(loaded.configuration);
  REQUIRE(loaded.problems.size() == 2);
  CHECK(loaded.problems[0].path == "pump_sets.again.pumps");
  CHECK(told(loaded).find("'spare' is in set 'lifts' already") != std::string::npos);
  CHECK(told(loaded).find("'lift' is in set 'lifts' already") != std::string::npos);
}

TEST_CASE("pump sets: where floats keep the tank nobody knows a level", "[config][set]") {
  expect_refused(paired_by_floats(),
                 {
                     {"[drain, help]", "[drain, help], second_at: 70 %", "second_at: |70",
                      "pump_sets.drains.second_at", "floats.high calls the second"},
                     {"[drain, help]", "[drain, help], start_at: 70 %", "start_at: |70",
                      "pump_sets.drains.start_at", "kept by floats"},
                     {"tank: sump\n    contact: help", "tank: sump\n    start_at: 60 %\n    contact: help",
                      "start_at: |60 %", "pumps.help.start_at", "kept by floats"},
                 });
}

TEST_CASE("pump sets: a switch that shows one pump shows no other", "[config][set]") {
  expect_refused(paired(),
                 {{"    contact: spare-contact\n",
                   "    contact: spare-contact\n    feedback: { switch: running }\n", "switch: |running",
                   "pumps.spare.feedback.switch", "'lift' already has this switch as its feedback"}});
}
