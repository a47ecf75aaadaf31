// The cause-and-effect matrix of a site: what its cells say, and that it is all there.

#include "stillwell/report/matrix.hpp"

#include "stillwell/report/matrix_sheet.hpp"

#include <algorithm>
#include <chrono>
#include <string>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

/// The orchard (header 2.45 m, cistern 2.0 m): lift has everything, bore next to nothing, drain empties the
/// cistern into the header.
Model everything() {
  Model model = support::orchard_model();
  model.switches = {Switch{"header-float", {}}, Switch{"cistern-float", {}}, Switch{"lift-running", {}},
                    Switch{"lift-flow", {}},    Switch{"panel-off", {}},     Switch{"panel-hand", {}}};
  model.meters = {Meter{"lift-power", {}}};
  model.contacts.push_back(Contact{"lift-isolator"});
  model.contacts.push_back(Contact{"drain-contact"});
  model.contacts.push_back(Contact{"yard-horn"});
  model.stagger = 10s;
  Pump& lift = model.pumps[0];
  lift.contact_within = 3s;
  lift.stop_level = Metres{2.254};
  lift.high_trip = Metres{2.352};
  lift.source_below = Metres{0.3};
  lift.source_clear = Metres{0.5};
  lift.float_trip = SwitchIndex{0};
  lift.source_float = SwitchIndex{1};
  lift.feedback = Feedback{SwitchIndex{2}, 3s};
  lift.isolator = Isolator{ContactIndex{2}, 3s};
  lift.selector = {.off = SwitchIndex{4}, .hand = SwitchIndex{5}};
  lift.dry_run.flow = FlowGuard{SwitchIndex{3}, 10s};
  lift.dry_run.power = PowerGuard{MeterIndex{0}, MotorLoad{350.0}, 5s};
  lift.dry_run.rise = RiseGuard{MetresPerSecond{4e-3 / 60.0}, 3min};
  lift.needs = {PumpIndex{1}};
  lift.limits = {.on_at_least = 60s,
                 .off_at_least = 3min,
                 .run_at_most = 2h,
                 .after_power_up = 30s,
                 .starts_per_hour = 8};
  lift.allowed = {{22 * 60, 6 * 60}, {11 * 60, 15 * 60 + 30}};
  Pump drain;
  drain.id = "drain";
  drain.duty = Duty::drain;
  drain.tank = TankIndex{1};
  drain.source = TankIndex{1};
  drain.receiver = TankIndex{0};
  drain.high_trip = Metres{2.352};
  drain.contact = ContactIndex{3};
  drain.when_unknown = BlindRuns{5min, 1h};
  model.pumps.push_back(drain);
  model.annunciators = {
      Annunciator{.id = "yard", .contact = ContactIndex{4}, .sounds_for = {Priority::high}}};
  return model;
}

std::string cell(const report::Matrix& matrix, Cause cause, std::size_t pump) {
  const auto line = std::ranges::find(matrix.causes, cause, &report::CauseLine::cause);
  if (line == matrix.causes.end() || !line->pumps.at(pump)) return "";
  return std::string(report::effect_word(line->pumps[pump]->verdict)) + ": " + line->pumps[pump]->when;
}

}  // namespace

TEST_CASE("matrix: each cell says what a cause does and what brings it about there", "[report][matrix]") {
  const report::Matrix matrix = report::matrix_of(everything());
  const auto lift = [&](Cause cause) { return cell(matrix, cause, 0); };
  CHECK(
      lift(Cause::stuck_on) ==
      "locks out: lift-running on for 3 s, lift-power at or above 350 W for 5 s, lift-flow on for 10 s while "
      "lift-contact is off");
  CHECK(lift(Cause::contact_unreachable) == "trips: lift-contact not confirmed for 3 s");
  CHECK(lift(Cause::isolator) == "stops: lift-isolator not confirmed closed");
  CHECK(lift(Cause::selector) == "stops: panel-off on");
  CHECK(lift(Cause::tank_unknown) == "trips: no level of header (header-top)");
  CHECK(lift(Cause::source_unknown) == "trips: no level of cistern (cistern-top)");
  CHECK(lift(Cause::switch_unknown) ==
        "trips: cannot read header-float, cistern-float, panel-off, panel-hand, lift-running, lift-flow");
  CHECK(lift(Cause::meter_unknown) == "trips: cannot read lift-power");
  CHECK(lift(Cause::source_low) == "trips: cistern below 15 % (0.300 m) until 25 % (0.500 m)");
  CHECK(lift(Cause::source_float) == "trips: cistern-float on");
  CHECK(lift(Cause::tank_high) == "trips: header at or above 96 % (2.352 m) until below 92 % (2.254 m)");
  CHECK(lift(Cause::float_switch) == "trips: header-float on");
  CHECK(lift(Cause::no_feedback) ==
        "trips: lift-running off for 3 s while lift-contact is on; the second time in a row locks out");
  CHECK(lift(Cause::no_flow) ==
        "trips: lift-flow off for 10 s; rests 30 min, each time twice as long, locks "
        "out after 3 more");
  CHECK(lift(Cause::no_power).starts_with("trips: lift-power below 350 W for 5 s; rests 30 min"));
  CHECK(lift(Cause::no_rise).starts_with("trips: header rises by less than 4.0 mm/min within 3 min; rests"));
  CHECK(lift(Cause::over_time) == "locks out: runs longer than 2 h");
  CHECK(lift(Cause::needs) == "stops: not proved on: bore");
  CHECK(lift(Cause::mode_off) == "stops: mode off");
  CHECK(lift(Cause::service_out) == "stops: service out of lift, header, cistern");
  CHECK(lift(Cause::hand_ended) == "stops: after 15 min in hand");
  CHECK(lift(Cause::window) ==
        "stops: outside 22:00-06:00, 11:00-15:30; also while the clock is not trusted, "
        "after 60 s of running at the soonest");
  CHECK(lift(Cause::flow_stuck) == "holds start: lift-flow on while it is off");
  CHECK(lift(Cause::power_up) == "holds start: for 30 s after start-up");
  CHECK(lift(Cause::stagger) == "holds start: for 10 s after another pump has started");
  CHECK(lift(Cause::rest) == "holds start: for 3 min after a stop");
  CHECK(lift(Cause::starts) == "holds start: 8 starts within an hour");
}

TEST_CASE("matrix: what cannot come up for a pump has an empty cell", "[report][matrix]") {
  const report::Matrix matrix = report::matrix_of(everything());
  for (const Cause cause :
       {Cause::stuck_on, Cause::source_low, Cause::tank_high, Cause::window, Cause::rest}) {
    INFO(to_word(cause));
    CHECK(cell(matrix, cause, 1).empty());
  }
  CHECK(cell(matrix, Cause::tank_unknown, 1) == "trips: no level of cistern (cistern-top)");
}

TEST_CASE("matrix: a drain pump stops for its receiver, and its neighbour's dry suction is its own",
          "[report][matrix]") {
  const report::Matrix matrix = report::matrix_of(everything());
  CHECK(cell(matrix, Cause::source_high, 2) ==
        "trips: header at or above 96 % (2.352 m) until below 96 % (2.352 m)");
  CHECK(cell(matrix, Cause::source_unknown, 2) == "trips: no level of header (header-top)");
  CHECK(cell(matrix, Cause::tank_unknown, 2) ==
        "trips: no level of cistern (cistern-top); but runs 5 min every 60 min");
  CHECK(cell(matrix, Cause::service_out, 2) == "stops: service out of drain, cistern, header");
  CHECK(cell(matrix, Cause::peer_dry, 2) == "stops: another pump on cistern has run dry");
  CHECK(cell(matrix, Cause::peer_dry, 0).empty());  // nobody would find the drain pump dry
}

TEST_CASE("matrix: a pump that is alone waits for no other", "[report][matrix]") {
  Model model = everything();
  model.pumps.resize(1);
  model.pumps[0].needs.clear();
  const report::Matrix matrix = report::matrix_of(model);
  CHECK(cell(matrix, Cause::stagger, 0).empty());
  CHECK(cell(matrix, Cause::source_high, 0).empty());
}

TEST_CASE("matrix: it lists exactly the causes of the table, also those that cannot come up here",
          "[report][matrix]") {
  const report::Matrix matrix = report::matrix_of(everything());
  REQUIRE(matrix.causes.size() == cause_table().size());
  for (std::size_t at = 0; at < matrix.causes.size(); ++at)
    CHECK(matrix.causes[at].cause == cause_table()[at].cause);
}

TEST_CASE("matrix: every alarm is there, with what raises it, what ends it and what sounds",
          "[report][matrix]") {
  Model model = everything();
  model.alarms[0].clears_at = Metres{0.49};
  model.alarms[0].after = 60s;
  model.alarms[1].latch = true;
  const report::Matrix matrix = report::matrix_of(model);
  REQUIRE(matrix.alarms.size() == model.alarms.size());
  CHECK(matrix.alarms[0].when == "below 15.1 % (0.370 m)");
  CHECK(matrix.alarms[0].until == "from 20 % (0.490 m)");
  CHECK(matrix.alarms[0].sounds == std::vector<bool>{false});
  CHECK(matrix.alarms[1].when == "above 97.96 % (2.400 m)");
  CHECK(matrix.alarms[1].sounds == std::vector<bool>{true});
  CHECK(matrix.alarms[3].when == "the level is not known");

  const report::Sheet sheet = report::sheet_of(matrix, "Orchard", "orchard.yaml");
  const auto alarms = std::ranges::find(sheet.grids, "What raises an alarm", &report::Grid::title);
  REQUIRE(alarms != sheet.grids.end());
  REQUIRE(alarms->rows.size() == model.alarms.size());
  CHECK(alarms->rows[0][2].text == "60 s");
  CHECK(alarms->rows[1][2].text == "at once");
  CHECK(alarms->rows[1][3].text.ends_with(", then reset by a person"));
  CHECK(alarms->rows[1][5].text == "yard");
}

TEST_CASE("matrix: the table of the modes has exactly the causes, in their order", "[report][matrix]") {
  const report::Grid grid = report::modes_grid();
  const auto table = cause_table();
  REQUIRE(grid.rows.size() == table.size());
  for (std::size_t at = 0; at < table.size(); ++at) {
    INFO(table[at].word);
    REQUIRE(grid.rows[at].size() == grid.head.size());
    CHECK(grid.rows[at][0].text == table[at].word);
    CHECK(grid.rows[at][1].text == report::effect_word(table[at].verdict));
    CHECK(grid.rows[at].back().text == to_word(table[at].returns));
  }
}

TEST_CASE("matrix: every row of every table is as long as its head", "[report][matrix]") {
  const report::Matrix matrix = report::matrix_of(everything());
  auto grids = report::sheet_of(matrix, "Orchard", "orchard.yaml").grids;
  grids.push_back(report::grid_of(matrix));
  REQUIRE(grids.size() == 4);
  for (const report::Grid& grid : grids) {
    CHECK_FALSE(grid.rows.empty());
    for (const auto& row : grid.rows)
      CHECK(row.size() == grid.head.size());
  }
}
