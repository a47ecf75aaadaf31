// Every cause that can end a run, brought about once on a running pump of each duty it applies to: off in the
// very scan that tells it, one event, the published word, and the state that follows.

#include "stillwell/pump/causes.hpp"

#include <chrono>
#include <functional>
#include <set>
#include <string>
#include <vector>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;
using Kind = PumpEvent::Kind;

namespace {

struct Trouble {
  Cause cause;
  std::string word;
  std::vector<Duty> duties;
  std::function<void(PumpBench&)> strike;
  Duration within;  ///< the longest it may take from the scan that first sees it
  Kind kind;
  PumpState then;
};

const std::vector<Duty> kBoth{Duty::fill, Duty::drain};

const std::vector<Trouble> kTroubles{
    {Cause::tank_unknown, "tank-unknown", kBoth, [](PumpBench& b) { b.inputs.tank = unknown(); }, 0s,
     Kind::trip, PumpState::tripped},
    {Cause::source_unknown,
     "source-unknown",
     {Duty::fill},
     [](PumpBench& b) { b.inputs.source = unknown(); },
     0s,
     Kind::trip,
     PumpState::tripped},
    {Cause::source_unknown,
     "source-unknown",
     {Duty::fill},
     [](PumpBench& b) { b.inputs.source.reset(); },
     0s,
     Kind::trip,
     PumpState::tripped},
    {Cause::source_unknown,
     "source-unknown",
     {Duty::drain},
     [](PumpBench& b) { b.inputs.receiver = unknown(); },
     0s,
     Kind::trip,
     PumpState::tripped},
    {Cause::source_unknown,
     "source-unknown",
     {Duty::drain},
     [](PumpBench& b) { b.inputs.receiver.reset(); },
     0s,
     Kind::trip,
     PumpState::tripped},
    {Cause::switch_unknown, "switch-unknown", kBoth, [](PumpBench& b) { b.inputs.float_trip = unreadable(); },
     0s, Kind::trip, PumpState::tripped},
    {Cause::switch_unknown, "switch-unknown", kBoth,
     [](PumpBench& b) { b.inputs.source_float = unreadable(); }, 0s, Kind::trip, PumpState::tripped},
    {Cause::switch_unknown, "switch-unknown", kBoth, [](PumpBench& b) { b.inputs.float_trip.reset(); }, 0s,
     Kind::trip, PumpState::tripped},
    {Cause::switch_unknown, "switch-unknown", kBoth,
     [](PumpBench& b) {
       b.motor_obeys = false;
       b.inputs.feedback = unreadable();
     },
     0s, Kind::trip, PumpState::tripped},
    {Cause::source_low,
     "source-low",
     {Duty::fill},
     [](PumpBench& b) { b.inputs.source = known(0.29); },
     0s,
     Kind::trip,
     PumpState::tripped},
    {Cause::source_low,
     "source-low",
     {Duty::drain},
     [](PumpBench& b) { b.inputs.tank = known(0.29); },
     0s,
     Kind::trip,
     PumpState::tripped},
    {Cause::source_float, "source-float", kBoth, [](PumpBench& b) { b.inputs.source_float = is_on(true); },
     0s, Kind::trip, PumpState::tripped},
    {Cause::float_switch, "float", kBoth, [](PumpBench& b) { b.inputs.float_trip = is_on(true); }, 0s,
     Kind::trip, PumpState::tripped},
    {Cause::tank_high,
     "tank-high",
     {Duty::fill},
     [](PumpBench& b) { b.inputs.tank = known(2.21); },
     0s,
     Kind::trip,
     PumpState::tripped},
    {Cause::source_high,
     "source-high",
     {Duty::drain},
     [](PumpBench& b) { b.inputs.receiver = known(2.21); },
     0s,
     Kind::trip,
     PumpState::tripped},
    {Cause::contact_unreachable, "contact-unreachable", kBoth, [](PumpBench& b) { b.contact_obeys = false; },
     8s, Kind::trip, PumpState::tripped},
    {Cause::no_feedback, "no-feedback", kBoth,
     [](PumpBench& b) {
       b.motor_obeys = false;
       b.inputs.feedback = is_on(false);
     },
     4s, Kind::trip, PumpState::tripped},
    {Cause::over_time, "over-time", kBoth, [](PumpBench& b) { b.scan_for(2h - 70s); }, 10s, Kind::lock_out,
     PumpState::locked_out},
    {Cause::isolator, "isolator", kBoth,
     [](PumpBench& b) {
       b.isolator_obeys = false;
       b.inputs.isolator = ContactSample{b.now, false, Reason::none};
     },
     0s, Kind::stop, PumpState::waiting},
    {Cause::isolator, "isolator", kBoth, [](PumpBench& b) { b.isolator_obeys = false; }, 8s, Kind::stop,
     PumpState::waiting},
    {Cause::selector, "selector", kBoth, [](PumpBench& b) { b.inputs.selector_off = is_on(true); }, 0s,
     Kind::stop, PumpState::waiting},
    {Cause::switch_unknown, "switch-unknown", kBoth,
     [](PumpBench& b) { b.inputs.selector_off = unreadable(); }, 0s, Kind::trip, PumpState::tripped},
    {Cause::switch_unknown, "switch-unknown", kBoth, [](PumpBench& b) { b.inputs.selector_hand.reset(); }, 0s,
     Kind::trip, PumpState::tripped},
    {Cause::switch_unknown, "switch-unknown", kBoth,
     [](PumpBench& b) {
       b.moves_water = false;
       b.inputs.flow = unreadable();
     },
     0s, Kind::trip, PumpState::tripped},
    {Cause::meter_unknown, "meter-unknown", kBoth,
     [](PumpBench& b) {
       b.moves_water = false;
       b.inputs.load = meter_lost();
     },
     0s, Kind::trip, PumpState::tripped},
    {Cause::no_flow, "no-flow", kBoth,
     [](PumpBench& b) {
       b.moves_water = false;
       b.inputs.flow = is_on(false);
     },
     11s, Kind::trip, PumpState::tripped},
    {Cause::no_power, "no-power", kBoth,
     [](PumpBench& b) {
       b.moves_water = false;
       b.inputs.load = takes(349.0);
     },
     6s, Kind::trip, PumpState::tripped},
    {Cause::no_rise, "no-rise", kBoth,
     [](PumpBench& b) {
       b.rules.dry_run.rise = RiseGuard{MetresPerSecond{0.004 / 60.0}, 3min};
     },
     181s, Kind::trip, PumpState::tripped},
    {Cause::peer_dry, "peer-dry", kBoth, [](PumpBench& b) { b.inputs.peer_is_dry = true; }, 0s, Kind::stop,
     PumpState::waiting},
    {Cause::needs, "needs", kBoth, [](PumpBench& b) { b.inputs.has_needs = false; }, 0s, Kind::stop,
     PumpState::waiting},
    {Cause::service_out, "service-out", kBoth, [](PumpBench& b) { b.inputs.is_out = true; }, 0s, Kind::stop,
     PumpState::out_of_service},
    {Cause::command, "command", kBoth, [](PumpBench& b) { b.inputs.is_released = true; }, 0s, Kind::stop,
     PumpState::waiting},
    {Cause::mode_off, "mode-off", kBoth, [](PumpBench& b) { set_mode(b.memory, Mode::off); }, 0s, Kind::stop,
     PumpState::stopped},
};

PumpBench bench_of(Duty duty) {
  return PumpBench{equipped(duty == Duty::fill ? fill_pump() : drain_pump())};
}

bool needs_a_run(Cause cause) {
  return cause == Cause::over_time || cause == Cause::no_feedback || row_of(cause).returns == Returns::counts;
}

/// Scans until the order changes; true when that came in time.
bool wait_for_off(PumpBench& bench, Duration within) {
  const Instant limit = bench.now + within + 1s;
  bench.story.clear();
  while (bench.on() && bench.now < limit)
    bench.scan();
  return !bench.on();
}

}  // namespace

TEST_CASE("causes: each stops a running pump in the scan that tells it", "[pump][table]") {
  for (const Trouble& trouble : kTroubles) {
    for (const Duty duty : trouble.duties) {
      INFO(trouble.word << " on a " << to_word(duty) << " pump");
      PumpBench bench = bench_of(duty);
      bench.running();
      REQUIRE(bench.last.state == PumpState::running);
      trouble.strike(bench);
      REQUIRE(bench.on());
      REQUIRE(wait_for_off(bench, trouble.within));
      REQUIRE(bench.story.size() == 1);
      CHECK(bench.story.front().kind == trouble.kind);
      REQUIRE(bench.story.front().cause == trouble.cause);
      CHECK(to_word(trouble.cause) == trouble.word);
      CHECK(bench.last.state == trouble.then);
      CHECK(bench.held_by(trouble.cause));
      if (trouble.kind != Kind::stop) CHECK(bench.memory.first_out == trouble.cause);
    }
  }
}

TEST_CASE("causes: each holds a stopped pump that its level asks for", "[pump][table]") {
  for (const Trouble& trouble : kTroubles) {
    if (needs_a_run(trouble.cause)) continue;
    for (const Duty duty : trouble.duties) {
      INFO(trouble.word << " on a " << to_word(duty) << " pump");
      PumpBench bench = bench_of(duty);
      bench.rested();
      trouble.strike(bench);
      bench.scan_for(8s);  // until it shows
      const bool seen_in_tank = bench.inputs.tank.level != bench.at_rest().level;
      if (!seen_in_tank) bench.inputs.tank = bench.asking();
      bench.scan_for(5min);
      CHECK_FALSE(bench.on());
      CHECK(bench.memory.start_count == 0);
      CHECK(bench.held_by(trouble.cause));
    }
  }
}

TEST_CASE("causes: what has been struck from the table is not silently gone", "[pump][table]") {
  // Every row is either struck above or tested by name elsewhere (stuck-on, window, the end of hand and those
  // that only hold a start).
  std::set<Cause> tested{Cause::stuck_on, Cause::window,  Cause::hand_ended, Cause::flow_stuck,
                         Cause::power_up, Cause::stagger, Cause::rest,       Cause::starts};
  for (const Trouble& trouble : kTroubles)
    tested.insert(trouble.cause);
  for (const CauseRow& row : cause_table()) {
    INFO(row.word);
    CHECK(tested.contains(row.cause));
  }
}

TEST_CASE("causes: each row is found under its own cause and says what it means", "[pump][table]") {
  std::set<std::string_view> words;
  for (const CauseRow& row : cause_table()) {
    CHECK(&row_of(row.cause) == &row);
    CHECK(words.insert(row.word).second);
    CHECK_FALSE(row.text.empty());
    CHECK_FALSE(row.remedy.empty());
    CHECK_FALSE(row.reads.empty());
    CHECK(row.verdict != Verdict::permit);
  }
}

TEST_CASE("causes: their words are the published ones", "[pump][words]") {
  const std::set<std::string_view> published{
      "source-low",    "source-unknown", "tank-unknown", "no-rise",
      "no-power",      "no-flow",        "no-feedback",  "stuck-on",
      "over-time",     "tank-high",      "float",        "contact-unreachable",
      "source-float",  "source-high",    "flow-stuck",   "switch-unknown",
      "meter-unknown", "needs",          "selector",     "service-out",
      "peer-dry",      "isolator",       "window",       "starts",
      "rest",          "power-up",       "mode-off",     "command",
      "stagger",       "hand-ended"};
  for (const CauseRow& row : cause_table())
    CHECK(published.contains(row.word));
  CHECK(to_word(PumpState::stopped) == "stopped");
  CHECK(to_word(PumpState::waiting) == "waiting");
  CHECK(to_word(PumpState::starting) == "starting");
  CHECK(to_word(PumpState::running) == "running");
  CHECK(to_word(PumpState::tripped) == "tripped");
  CHECK(to_word(PumpState::locked_out) == "locked-out");
}
