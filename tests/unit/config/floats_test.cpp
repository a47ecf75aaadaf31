// A tank that is kept by floats alone: what it may have, and what only a tank with a gauge can.

#include "stillwell/config/configuration.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/config_broken.hpp"
#include "support/config_floats.hpp"

using namespace stillwell;
using support::expect_refused;
using support::kFloats;
using support::replaced;
using support::sound_by_floats;
using support::told;

namespace {

/// A header that a valve fills by its floats.
std::string filled_by_floats() {
  std::string text = replaced(sound_by_floats(), "duty: drain\n    tank: sump\n",
                              "duty: fill\n    kind: valve\n    tank: sump\n");
  return replaced(
      text, "sump-stop: { line: shed, station: 10, table: discrete, address: 2, broken: off }",
      "sump-stop: { line: shed, station: 10, table: discrete, address: 2, active: low, broken: on }");
}

}  // namespace

TEST_CASE("floats: a sump without a gauge loads, and its drain pump stops at the lower float",
          "[config][floats]") {
  const auto loaded = config::parse(sound_by_floats(), "site.yaml");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  const Model& model = loaded.configuration->model;
  const Tank& sump = model.tanks[2];
  CHECK(sump.gauges.empty());
  CHECK(sump.shape == nullptr);
  REQUIRE(sump.floats);
  CHECK(model.switches[sump.floats->lower.at].id == "sump-stop");
  CHECK(model.switches[sump.floats->upper.at].id == "sump-start");
  CHECK(model.switches[sump.floats->high->at].id == "sump-high");
  CHECK(model.switches[sump.floats->high->at].line == LineIndex{0});
  const Pump& drain = model.pumps[1];
  CHECK(drain.floats == sump.floats);
  CHECK_FALSE(drain.high_trip);
  const auto has = [&](AlarmKind kind) {
    return std::ranges::any_of(model.alarms, [&](const Alarm& alarm) {
      return alarm.kind == kind && alarm.of == AlarmSubject{TankIndex{2}};
    });
  };
  CHECK(has(AlarmKind::unwell));
  CHECK(has(AlarmKind::float_high));
  CHECK_FALSE(has(AlarmKind::disagree));
}

TEST_CASE("floats: of a tank that is filled the start float is the lower one", "[config][floats]") {
  const auto loaded = config::parse(filled_by_floats(), "site.yaml");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  const Model& model = loaded.configuration->model;
  REQUIRE(model.tanks[2].floats);
  CHECK(model.switches[model.tanks[2].floats->lower.at].id == "sump-start");
  CHECK(model.switches[model.tanks[2].floats->upper.at].id == "sump-stop");
}

TEST_CASE("floats: the findings of check hold on such a site too", "[config][floats]") {
  const auto loaded = config::parse(sound_by_floats(), "site.yaml");
  REQUIRE(loaded.configuration);
  std::string codes;
  for (const config::Finding& finding : examine(*loaded.configuration))
    if (finding.of == "drain") codes += finding.code + " ";
  CHECK(codes.find("dry-run-guard-missing") != std::string::npos);
  CHECK(codes.find("sensing-and-contact-on-one-line") != std::string::npos);
}

TEST_CASE("floats: check warns of a stop float whose open wire would read as water", "[config][floats]") {
  const auto warns = [](const std::string& text) {
    const auto loaded = config::parse(text, "site.yaml");
    INFO(told(loaded));
    REQUIRE(loaded.configuration);
    return std::ranges::any_of(examine(*loaded.configuration), [](const config::Finding& finding) {
      return finding.code == "broken-wire-unseen" && finding.of == "drain";
    });
  };
  CHECK_FALSE(warns(sound_by_floats()));
  CHECK(
      warns(replaced(sound_by_floats(), "address: 2, broken: off", "address: 2, active: low, broken: off")));
}

TEST_CASE("rule 7: a broken wire must not keep the pump running, and must raise the high alarm",
          "[config][floats][rules]") {
  expect_refused(sound_by_floats(),
                 {
                     {"address: 2, broken: off", "address: 2, broken: on", "stop: |sump-stop",
                      "tanks.sump.floats.stop", "what stops a pump needs broken: off"},
                     {"address: 2, broken: off", "address: 2", "stop: |sump-stop", "tanks.sump.floats.stop",
                      "does not declare what a broken wire looks like"},
                     {"active: low, broken: on }\n  full-float", "active: low }\n  full-float",
                      "high: |sump-high", "tanks.sump.floats.high", "needs broken: on"},
                 });
  expect_refused(filled_by_floats(),
                 {{"address: 2, active: low, broken: on", "address: 2, broken: off", "stop: |sump-stop",
                   "tanks.sump.floats.stop", "what stops a pump needs broken: on"}});
}

TEST_CASE("floats: what only a level can say is refused beside them, with what to do instead",
          "[config][floats]") {
  const std::string floats = kFloats + "\n";
  const auto beside = [&](const std::string& more) { return kFloats + "\n    " + more + "\n"; };
  const std::string gauge = beside("gauge: sump-depth");
  const std::string holds = beside("holds: { capacity: 100 L }");
  const std::string full = beside("full: 1 m");
  const std::string by = beside("by: volume");
  const std::string low = beside("alarms: { low: { at: 10 % } }");
  const std::string disagree = beside("alarms: { disagree: { after: 10 s } }");
  expect_refused(
      sound_by_floats(),
      {
          {floats.c_str(), gauge.c_str(), "floats: {", "tanks.sump.floats",
           "expected exactly one of gauge | gauges | floats, and 'gauge' is given too"},
          {floats.c_str(), holds.c_str(), "floats: {", "tanks.sump.floats", "exactly one of holds | floats"},
          {floats.c_str(), full.c_str(), "floats: {", "tanks.sump.floats", "to_floor | full | floats"},
          {floats.c_str(), by.c_str(), "by: volume", "tanks.sump.by", "has no meaning together with floats"},
          {floats.c_str(), low.c_str(), "low: |{", "tanks.sump.alarms.low", "expected unwell or float-high"},
          {floats.c_str(), disagree.c_str(), "disagree: |{", "tanks.sump.alarms.disagree",
           "expected unwell or float-high"},
          {"tank: sump\n", "tank: sump\n    start_at: 60 %\n", "start_at: |60", "pumps.drain.start_at",
           "leave it out: floats.start and floats.stop say when"},
          {"tank: sump\n", "tank: sump\n    to: cistern\n    trips: { high: 90 % }\n    stop_at: 5 %\n",
           "stop_at: |5", "pumps.drain.stop_at", "leave it out"},
          {"tank: sump\n", "tank: sump\n    dry_run: { source_below: 5 % }\n", "source_below: |5",
           "pumps.drain.dry_run.source_below", "floats.stop of the tank stops the pump"},
      });
}

TEST_CASE("floats: neither a high trip nor a receiver nor a rise can rest on them", "[config][floats]") {
  const std::string another =
      replaced(sound_by_floats(), "contacts:\n",
               "contacts:\n  more-contact: { line: shed, station: 10, coil: 2, fails_off: wired }\n");
  const char* last = "    contact: drain-contact\n";
  expect_refused(filled_by_floats(), {{last, "    contact: drain-contact\n    trips: { high: 90 % }\n",
                                       "high: |90", "pumps.drain.trips.high", "give it as floats.high"}});
  expect_refused(
      another,
      {
          {last,
           "    contact: drain-contact\n"
           "  more: { duty: drain, tank: cistern, to: sump, start_at: 60 %, stop_at: 20 %, contact: "
           "more-contact }\n",
           "to: |sump", "pumps.more.to", "give a float there as trips.float"},
          {last,
           "    contact: drain-contact\n  more: { duty: fill, kind: valve, tank: sump, contact: more-contact "
           "}\n",
           "duty: |fill, kind", "pumps.more.duty", "does the contrary"},
          {last, "    contact: drain-contact\n    dry_run: { rise: { at_least: 4 mm/min, within: 3 min } }\n",
           "rise: |{", "pumps.drain.dry_run.rise", "use dry_run.flow instead"},
          {"tank: sump\n", "tank: cistern\n    start_at: 60 %\n    stop_at: 15 %\n", "floats: |{",
           "tanks.sump.floats", "no pump is kept by them"},
      });
}

TEST_CASE("rule 8: who draws from a tank that is kept by floats needs a guard of its own",
          "[config][floats][rules]") {
  const std::string from_sump = replaced(sound_by_floats(), "from: cistern\n", "from: sump\n");
  const std::string guard = "    dry_run: { source_below: 15 % }\n";
  const std::string witness = "    source_float: full-float\n";
  const std::string both = witness + guard;
  expect_refused(from_sump, {
                                {guard.c_str(), "", "from: |sump", "pumps.lift.from",
                                 "give source_float, dry_run.flow or dry_run.power"},
                                {guard.c_str(), both.c_str(), "source_below: |15",
                                 "pumps.lift.dry_run.source_below", "give it as source_float"},
                            });
  const auto loaded = config::parse(replaced(from_sump, guard, witness), "site.yaml");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  CHECK_FALSE(loaded.configuration->model.pumps[0].source_is_measured);
}

TEST_CASE("floats: a pump of a tank with a gauge needs its levels", "[config][floats]") {
  expect_refused(sound_by_floats(),
                 {{"    start_at: 45 %\n", "", "lift:", "pumps.lift", "missing key 'start_at'"}});
}

TEST_CASE("floats: those that cannot keep a tank are refused", "[config][floats]") {
  expect_refused(
      sound_by_floats(),
      {
          {"stop: sump-stop", "stop: sump-start", "stop: |sump-start", "tanks.sump.floats.stop",
           "names a float that stands there already"},
          {"start: sump-start, ", "", "floats: {", "tanks.sump.floats", "missing key 'start'"},
          {"stop: sump-stop", "stop: sump-stopp", "sump-stopp", "tanks.sump.floats.stop", "sump-stop"},
          {kFloats.c_str(), "floats: { start: sump-start, stop: sump-stop }\n    alarms: { float-high: {} }",
           "float-high: |{", "tanks.sump.alarms.float-high", "expected `high` among the floats"},
          {"      low: { at: 15 % }", "      float-high: { after: 5 s }", "float-high: |{",
           "tanks.header.alarms.float-high", "only a tank that is kept by `floats` has it"},
      });
}
