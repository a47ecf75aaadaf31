// The causes that only a pump with more guards than the demonstration's knows: a flow switch, the rise of its
// tank, a selector at the panel, an isolator, a valve that it needs, a neighbour on its suction.
#include "cause_cases.hpp"
#include "support/catch.hpp"

using stillwell::Cause;
using support::CauseCase;
using support::CauseStage;
using support::Ends;
using support::eventually;
using support::Gateway;
using support::Steps;

namespace {

const Steps kLiftRuns{"plant set cistern 80 %", "plant set header 30 %", "stillwell mode inlet auto",
                      "stillwell mode lift auto", "await running"};

const std::vector<CauseCase> kGuards{
    {Cause::isolator,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift-isolator exception"},
     {"plant clear lift-isolator"}},
    {Cause::selector,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant turn lift-panel on"},
     {"plant turn lift-panel off"}},
    {Cause::needs,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault inlet-contact exception"},
     {"plant clear inlet-contact"}},
    {Cause::no_flow,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift airlock"},
     {"plant clear lift", "stillwell reset lift"}},
    {Cause::flow_stuck,
     "lift",
     Ends::wait,
     {"plant set header 30 %", "stillwell mode inlet auto", "stillwell mode lift auto", "await running",
      "plant fault lift-flow frozen", "stillwell mode lift off", "await stopped"},
     {"stillwell mode lift auto"},
     {"plant clear lift-flow"}},
    {Cause::peer_dry,
     "spare",
     Ends::run,
     {"plant set header 30 %", "stillwell mode inlet auto", "stillwell mode lift auto", "await lift running",
      "stillwell mode spare auto", "await running"},
     {"plant fault lift airlock"},
     {"plant clear lift", "stillwell reset lift", "stillwell mode lift off"}},
    {Cause::no_rise,
     "bore",
     Ends::run,
     {"plant set cistern 25 %", "stillwell mode bore auto", "await running"},
     {"plant fault bore airlock"},
     {"plant clear bore", "stillwell reset bore"}},
};

const std::vector<CauseCase> kStagger{
    {Cause::stagger,
     "bore",
     Ends::wait,
     {"plant set header 30 %", "plant set cistern 27 %", "stillwell mode lift auto", "await lift running"},
     {"stillwell mode bore auto"},
     {}},
};

/// What there is to see of the isolator, the valve and the flow switch is on modules of their own, so that
/// each can be lost alone.
Gateway::Edits guarded() {
  const std::string quick = "\n    limits: { off_at_least: 0 s, starts_per_hour: 0, after_power_up: 0 s }\n";
  const std::string fills = "\n    duty: fill\n    tank: header\n    start_at: 40 %\n    stop_at: 70 %";
  return {
      {"scan: 500 ms", "scan: 200 ms\n  stagger: 0 s"},
      {"off_at_least: 2 s", "off_at_least: 0 s"},
      {"after_power_up: 14 s", "after_power_up: 0 s"},
      {"flow_rate: 300 L/min", "flow_rate: 1 L/min"},
      // So fast that its tank is seen to follow.
      {"flow_rate: 270 L/min", "flow_rate: 30 L/min"},
      {"\nmeters:",
       "\n"
       "  lift-flow: { line: shed, station: 11, table: discrete, address: 0, broken: off, every: 500 ms }\n"
       "  lift-panel: { line: shed, station: 11, table: discrete, address: 1, active: low, broken: on,"
       " every: 500 ms }\n"
       "\nmeters:"},
      {"\ncontacts:\n",
       "\ncontacts:\n"
       "  lift-isolator: { line: shed, station: 12, coil: 0, fails_off: wired }\n"
       "  inlet-contact: { line: shed, station: 13, coil: 0, fails_off: wired }\n"
       "  spare-contact: { line: shed, station: 10, coil: 4, fails_off: wired }\n"},
      {"    contact: lift-contact\n",
       "    contact: lift-contact\n    isolator: lift-isolator\n    needs: [inlet]\n"
       "    selector: { off: lift-panel }\n"},
      {"source_below: 12 %, source_clear: 26 %",
       "source_below: 12 %, source_clear: 26 %, flow: { switch: lift-flow, within: 3 s }"},
      {"dry_run: { source_below: 15 %, source_clear: 25 % }",
       "dry_run: { source_below: 15 %, source_clear: 25 %, rise: { at_least: 60 mm/min, within: 10 s } }"},
      {"\nannunciators:", "  inlet:\n    kind: valve\n    contact: inlet-contact" + fills + quick +
                              "  spare:\n    from: cistern\n    contact: spare-contact" + fills +
                              "\n    dry_run: { source_below: 12 %, source_clear: 26 % }" + quick +
                              "\nannunciators:"},
  };
}

}  // namespace

const std::vector<CauseCase>& cases_of_the_guards() {
  return kGuards;
}

const std::vector<CauseCase>& cases_of_the_stagger() {
  return kStagger;
}

TEST_CASE("causes: each guard stops its pump or holds it, and is told by its name", "[e2e][causes][rule-1]") {
  Gateway gateway{Gateway::With::no_broker, guarded()};
  CauseStage stage{gateway, {"lift", "bore", "drain", "inlet", "spare"}};
  for (const CauseCase& one : kGuards)
    stage.play(one);
}

TEST_CASE("causes: a pump waits while another has just started", "[e2e][causes][rule-1]") {
  Gateway gateway{Gateway::With::no_broker,
                  {{"scan: 500 ms", "scan: 200 ms\n  stagger: 60 s"},
                   {"flow_rate: 300 L/min", "flow_rate: 1 L/min"},
                   {"after_power_up: 14 s", "after_power_up: 0 s"}}};
  CauseStage stage{gateway, {"lift", "bore", "drain"}};
  for (const CauseCase& one : kStagger)
    stage.play(one);
}

TEST_CASE("isolator: it opens behind a welded contactor, and the motor stands until a person mends it",
          "[e2e][rule-12]") {
  Gateway gateway{Gateway::With::no_broker, guarded()};
  CauseStage stage{gateway, {"lift", "bore", "drain", "inlet", "spare"}};
  stage.take(kLiftRuns, "lift");
  stage.take({"plant fault lift-contact welded", "plant set header 85 %"}, "lift");
  CHECK(stage.becomes("lift", "state", "locked-out"));
  CHECK(eventually([&] { return !stage.turns("lift"); }));
  CHECK_FALSE(stage.coil("lift-isolator"));
  // Its auxiliary contact still shows the contactor closed.
  CHECK(gateway.command({"reset", "lift"}).code != 0);
  CHECK_FALSE(stage.turns("lift"));
  stage.take({"plant clear lift-contact", "plant set header 30 %"}, "lift");
  CHECK(eventually([&] { return gateway.command({"reset", "lift"}).code == 0; }));
  CHECK(stage.becomes("lift", "state", "running"));
  CHECK(stage.coil("lift-isolator"));
  CHECK(eventually([&] { return stage.turns("lift"); }));
}
