// Every cause of the cause table, brought about on real bytes at the demonstration's pumps. What they have
// not is in causes_guards_test.cpp.
#include <ctime>
#include <set>

#include "cause_cases.hpp"
#include "support/catch.hpp"

using stillwell::Cause;
using support::CauseCase;
using support::CauseStage;
using support::Ends;
using support::Gateway;
using support::Steps;

namespace {

// ------------------------------------------------------------------------------------------- what is done

const Steps kLiftRuns{"plant set cistern 80 %", "plant set header 30 %", "stillwell mode lift auto",
                      "await running"};
const Steps kDrainRuns{"plant set cistern 80 %", "plant set sump 80 %", "stillwell mode drain auto",
                       "await running"};
const Steps kAllReset{"stillwell reset lift",  "stillwell reset bore", "stillwell reset drain",
                      "stillwell reset night", "stillwell reset late", "stillwell reset tired",
                      "stillwell reset spent"};
const std::string kFull = "plant set bore-well 97 %";
const std::string kEmptied = "plant set bore-well 80 %";

const std::vector<CauseCase> kCases{
    {Cause::tank_unknown,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault header-top exception"},
     {"plant clear header-top"}},
    {Cause::source_unknown,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault cistern-top silence"},
     {"plant clear cistern-top"}},
    {Cause::switch_unknown,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault cistern-float exception"},
     {"plant clear cistern-float"}},
    {Cause::meter_unknown,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift-power exception"},
     {"plant clear lift-power"}},
    {Cause::no_power,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift airlock"},
     {"plant clear lift", "stillwell reset lift"}},
    {Cause::source_low, "lift", Ends::run, kLiftRuns, {"plant set cistern 8 %"}, {"plant set cistern 80 %"}},
    {Cause::source_float,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault cistern-float broken-wire"},
     {"plant clear cistern-float"}},
    {Cause::tank_high, "lift", Ends::run, kLiftRuns, {"plant set header 95 %"}, {"plant set header 30 %"}},
    {Cause::float_switch,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault header-float broken-wire"},
     {"plant clear header-float"}},
    {Cause::no_feedback,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift-contact open-circuit"},
     {"plant clear lift-contact", "stillwell reset lift"}},
    {Cause::stuck_on,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift-contact welded", "plant set header 85 %"},
     {"plant clear lift-contact"}},
    {Cause::mode_off, "lift", Ends::run, kLiftRuns, {"stillwell mode lift off"}, {}},
    {Cause::command, "lift", Ends::run, kLiftRuns, {"stillwell release"}, kAllReset},
    {Cause::service_out,
     "lift",
     Ends::run,
     kLiftRuns,
     {"stillwell service lift out"},
     {"stillwell service lift in"}},
    {Cause::contact_unreachable,
     "drain",
     Ends::run,
     kDrainRuns,
     {"plant fault drain-contact exception"},
     {"plant clear drain-contact"}},
    {Cause::source_high,
     "drain",
     Ends::run,
     kDrainRuns,
     {"plant set cistern 98 %"},
     {"plant set cistern 80 %"}},
    {Cause::over_time,
     "bore",
     Ends::run,
     {"plant set cistern 25 %", "stillwell mode bore auto", "await-start"},
     {},
     {"plant set cistern 80 %"}},
    {Cause::hand_ended,
     "lift",
     Ends::run,
     // Only a level that is seen asks for nothing any more.
     {"plant set header 55 %", "await-level 50", "stillwell mode lift hand", "await running"},
     {"stillwell mode lift auto"},
     {}},
    // These hold for as long as the test runs.
    {Cause::window,
     "night",
     Ends::wait,
     {"plant set cistern 80 %", "stillwell mode night auto"},
     {"plant set bore-well 40 %"},
     {kEmptied}},
    {Cause::power_up, "late", Ends::wait, {"stillwell mode late auto"}, {kFull}, {kEmptied}},
    {Cause::rest, "tired", Ends::wait, {"stillwell mode tired auto"}, {kFull}, {kEmptied}},
    {Cause::starts,
     "spent",
     Ends::wait,
     {kFull, "stillwell mode spent auto", "await running", kEmptied, "await stopped"},
     {kFull},
     {kEmptied}},
};

// ------------------------------------------------------------------------------------------- the orchard

/// Two hours from now, for one hour.
std::string window_elsewhen() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  const auto clock = [](int hour) { return (hour < 10 ? "0" : "") + std::to_string(hour) + ":00"; };
  return clock((local.tm_hour + 2) % 24) + "-" + clock((local.tm_hour + 3) % 24);
}

constexpr const char* kDrains = "duty: drain\n    start_at: 95 %\n    stop_at: 90 %\n";
/// A drain pump heeds no window while nobody trusts the clock (rule 21).
constexpr const char* kFills = "duty: fill\n    from: cistern\n    start_at: 45 %\n    stop_at: 60 %\n";

/// A pump that has nothing to do while the bore's well is neither nearly full nor half empty, and no guard
/// that could speak.
std::string extra_pump(const std::string& id, const std::string& duty, const std::string& limits) {
  return "  " + id + ":\n    tank: bore-well\n    contact: " + id + "-contact\n    " + duty +
         "    limits: { " + limits + " }\n";
}

/// The demonstration with hardly any flow, so that no level but an ordered one is reached; with a float on a
/// module of its own, so that it can be lost alone; and with pumps that are held for as long as the test
/// runs.
Gateway::Edits edits() {
  std::string pumps;
  pumps += extra_pump("night", kFills + ("    allowed: [\"" + window_elsewhen() + "\"]\n"),
                      "off_at_least: 0 s, starts_per_hour: 0, after_power_up: 0 s");
  pumps += extra_pump("late", kDrains, "off_at_least: 0 s, starts_per_hour: 0, after_power_up: 1 h");
  pumps += extra_pump("tired", kDrains, "off_at_least: 1 h, starts_per_hour: 0, after_power_up: 0 s");
  pumps += extra_pump("spent", kDrains, "off_at_least: 0 s, starts_per_hour: 1, after_power_up: 0 s");
  std::string contacts;
  int coil = 4;
  for (const char* id : {"night", "late", "tired", "spent"}) {
    contacts += "  " + std::string(id) +
                "-contact: { line: shed, station: 10, coil: " + std::to_string(coil++) +
                ", fails_off: wired }\n";
  }
  return {{"scan: 500 ms", "scan: 200 ms"},
          {"off_at_least: 2 s", "off_at_least: 0 s"},
          {"flow_rate: 300 L/min", "flow_rate: 1 L/min"},
          {"flow_rate: 270 L/min", "flow_rate: 1 L/min"},
          {"flow_rate: 150 L/min", "flow_rate: 1 L/min"},
          {"cistern-float: { line: shed, station: 10, table: discrete, address: 1",
           "cistern-float: { line: shed, station: 11, table: discrete, address: 1"},
          {"coil: 2, fails_off: wired", "coil: 2, refresh: { address: 42, for: 5 s }"},
          {"    tank: sump\n", "    tank: sump\n    to: cistern\n    trips: { high: 95 % }\n"},
          {"run_at_most: 3 min, after_power_up: 14 s", "run_at_most: 5 s, after_power_up: 0 s"},
          {"\ntanks:\n", "\n" + contacts + "\ntanks:\n"},
          {"\nannunciators:", "\n" + pumps + "\nannunciators:"}};
}

}  // namespace

const std::vector<CauseCase>& cases_of_the_demonstration() {
  return kCases;
}

TEST_CASE(
    "causes: each one that a configuration can ask for stops a pump or holds it, and is told by its name",
    "[e2e][causes][rule-1]") {
  Gateway gateway{Gateway::With::no_broker, edits()};
  CauseStage stage{gateway, {"lift", "bore", "drain", "night", "late", "tired", "spent"}};
  for (const CauseCase& one : kCases)
    stage.play(one);
}

TEST_CASE("causes: each one of the table is brought about", "[e2e][causes]") {
  std::set<Cause> brought;
  for (const auto* cases : {&cases_of_the_demonstration(), &cases_of_the_guards(), &cases_of_the_stagger()}) {
    for (const CauseCase& one : *cases)
      brought.insert(one.cause);
  }
  for (const stillwell::CauseRow& known : stillwell::cause_table()) {
    INFO("cause " << known.word);
    CHECK(brought.contains(known.cause));
  }
}
