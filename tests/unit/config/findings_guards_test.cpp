// Findings about guards that could not do what they are there for.
#include "support/bench_findings.hpp"

using namespace support;

namespace {

/// The sump's sensor behind an analogue module.
Changes looped(const std::string& rest) {
  return {{"depth: { table: holding, address: 2, as: f32be, unit: m }",
           "depth: { table: input, address: 7, as: u16, " + rest + " }"}};
}

const std::string kMeters =
    "meters:\n  lift-power: { line: shed, station: 20, table: input, address: 12, as: u16, ";

Changes metered(const std::string& scale) {
  return {{"contacts:\n", kMeters + scale + " }\ncontacts:\n"},
          {"source_below: 15 %", "source_below: 15 %, power: { meter: lift-power, below: 350 W }"}};
}

Changes filling(const std::string& keys) {
  return {{"duty: fill\n", "duty: fill\n" + keys}};
}

Changes draining(const std::string& keys) {
  return {{"duty: drain\n", "duty: drain\n" + keys}};
}

}  // namespace

TEST_CASE("findings: a current loop whose break would pass for a level", "[config][findings]") {
  // From 0 counts up: a broken wire reads as an empty tank.
  expect({"broken-loop-unseen", kWarning, "sump-depth", {"0.000 m", "sump", "NE 43"}},
         looped("scale: [[0, 0 m], [4095, 5 m]]"));
  CHECK(coded("broken-loop-unseen", findings_of(looped("scale: [[0, 0 m], [4095, 5 m]], fault_below: 0")))
            .empty());
  // 4 mA at 819 counts: none at all would be a metre and a quarter below the floor, which nobody believes.
  CHECK(coded("broken-loop-unseen", findings_of(looped("scale: [[819, 0 m], [4095, 5 m]]"))).empty());
}

TEST_CASE("findings: a meter's loop whose break would pass for a dry run", "[config][findings][meters]") {
  expect({"broken-loop-unseen", kNote, "lift-power", {"no-power", "lift", "NE 43"}},
         metered("scale: [[819, 0 W], [4095, 2 kW]]"));
  CHECK(
      coded("broken-loop-unseen", findings_of(metered("scale: [[819, 0 W], [4095, 2 kW]], fault_below: 740")))
          .empty());
  CHECK(coded("broken-loop-unseen", findings_of(metered("unit: W"))).empty());
}

TEST_CASE("findings: a rate that the pump cannot reach", "[config][findings]") {
  // 60 L/min on 4.52 m2 are 13.3 mm/min.
  const std::string flow = "    flow_rate: 60 L/min\n";
  const auto rise = [&](const std::string& rate) {
    Changes changes = filling(flow);
    changes.emplace_back("source_below: 15 %",
                         "source_below: 15 %, rise: { at_least: " + rate + ", within: 3 min }");
    return changes;
  };
  expect({"movement-beyond-flow", kWarning, "lift", {"14.0 mm/min", "13.3 mm/min", "4.52 m2"}},
         rise("14 mm/min"));
  CHECK(coded("movement-beyond-flow", findings_of(rise("13 mm/min"))).empty());
  const auto unasked = [&](const std::string& rate) {
    return filling(flow + "    unasked: { at_least: " + rate + ", within: 3 min }\n");
  };
  expect({"movement-beyond-flow", kWarning, "lift", {"unasked", "never be seen"}}, unasked("14 mm/min"));
  CHECK(coded("movement-beyond-flow", findings_of(unasked("13 mm/min"))).empty());
}

TEST_CASE("findings: a first rest that is shorter than every rest", "[config][findings]") {
  const auto retry = [](const std::string& after) {
    return Changes{{"source_below: 15 %",
                    "source_below: 15 %, rise: { at_least: 1 mm/min, within: 3 min }, "
                    "retry: { after: " +
                        after + ", times: 3 }"}};
  };
  expect({"retry-within-rest", kNote, "lift", {"30 s", "60 s"}}, retry("30 s"));
  CHECK(coded("retry-within-rest", findings_of(retry("60 s"))).empty());
}

TEST_CASE("findings: a blind run that empties even a full sump", "[config][findings]") {
  // 0.6 m3 less the 15 % below stop_at are 510 L: at 60 L/min 8 min 30 s.
  const auto blind = [](const std::string& time) {
    return draining("    flow_rate: 60 L/min\n    when_unknown: { run_for: " + time + ", every: 1 h }\n");
  };
  expect({"blind-run-too-long", kWarning, "drain", {"9 min", "510 s"}}, blind("9 min"));
  CHECK(coded("blind-run-too-long", findings_of(blind("8 min"))).empty());
}

TEST_CASE("findings: an isolator that dies with the contact below it", "[config][findings]") {
  const std::string spare = "contacts:\n  spare: { line: shed, station: 12, coil: 0, fails_off: wired }\n";
  Changes changes = filling("    isolator: spare\n");
  changes.emplace_back("contacts:\n", spare);
  expect({"isolator-beside-contact", kNote, "lift", {"spare", "lift-contact", "shed"}}, changes);
}
