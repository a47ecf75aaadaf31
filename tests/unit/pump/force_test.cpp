// Rule 18: a proof test forces only towards a trip, never towards a permit, and what it forces is what it
// says.

#include "stillwell/pump/force.hpp"

#include "stillwell/pump/concerns.hpp"
#include "stillwell/pump/evidence.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "support/bench_pump.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::Dice;
using support::PumpBench;

namespace {

Pump full_fill() {
  Pump pump = support::equipped(support::fill_pump());
  pump.dry_run.rise = RiseGuard{MetresPerSecond{1e-5}, 10min};
  pump.needs = {PumpIndex{1}};
  return pump;
}
Pump full_drain() {
  Pump pump = support::equipped(support::drain_pump());
  return pump;
}

/// Kept by floats: one with a switch besides, and one that has nothing else.
Pump fill_by_floats() {
  Pump pump = support::by_floats(support::fill_pump());
  pump.float_trip.reset();
  return pump;
}
Pump drain_by_floats() {
  Pump pump = support::by_floats(support::drain_pump());
  pump.float_trip.reset();
  pump.source_float.reset();
  pump.feedback.reset();
  return pump;
}

std::vector<Pump> all_kinds() {
  return {full_fill(), full_drain(), fill_by_floats(), drain_by_floats()};
}

/// At work, or with work to do.
void ask_for_a_run(PumpBench& bench) {
  if (bench.rules.floats)
    bench.stand_at(bench.fills() ? 0 : 2);
  else
    bench.inputs.tank = bench.asking();
}
PumpBench at_work(const Pump& pump) {
  PumpBench bench{pump};
  bench.rested();
  ask_for_a_run(bench);
  bench.scan();
  if (bench.rules.floats)
    bench.stand_at(1);
  else
    bench.inputs.tank = bench.between();
  bench.scan_for(pump.limits.on_at_least + 2s);
  return bench;
}

/// One second later, with the cause forced on what the bench shows.
void scan_forced(PumpBench& bench, Cause cause) {
  PumpBench shown{bench};
  shown.scan();
  bench.now = shown.now;
  bench.inputs = shown.inputs;
  PumpInputs inputs = shown.inputs;
  force(inputs, bench.rules, bench.memory.order, cause);
  bench.last = solve(bench.rules, bench.memory, inputs);
  bench.story.insert(bench.story.end(), bench.last.events.begin(), bench.last.events.end());
}

Verdict worst_of(const std::vector<Objection>& objections) {
  return objections.empty() ? Verdict::permit : objections.front().verdict;
}

Level any_level(Dice& dice) {
  return dice.one_in(6) ? support::unknown() : support::known(dice.between(0.0, 2.6), dice.between(0.0, 0.1));
}
std::optional<SwitchState> any_switch(Dice& dice) {
  return dice.one_in(6) ? support::unreadable() : support::is_on(dice.one_in(3));
}

PumpInputs any_inputs(Dice& dice, const Pump& pump, Order order, Instant now) {
  PumpInputs inputs{.tank = any_level(dice)};
  if (pump.floats) inputs.floats = FloatStates{*any_switch(dice), *any_switch(dice), any_switch(dice)};
  if (pump.source) inputs.source = any_level(dice);
  if (pump.receiver) inputs.receiver = any_level(dice);
  inputs.float_trip = any_switch(dice);
  inputs.source_float = any_switch(dice);
  inputs.selector_off = any_switch(dice);
  inputs.selector_hand = any_switch(dice);
  const bool follows = !dice.one_in(8);
  const bool on = follows == (order == Order::on);
  inputs.feedback = dice.one_in(8) ? support::unreadable() : support::is_on(on);
  inputs.flow = dice.one_in(8) ? any_switch(dice) : support::is_on(on);
  inputs.load = dice.one_in(8) ? support::meter_lost() : support::takes(on ? 800.0 : 0.0);
  inputs.contact = {now, order == Order::on, Reason::none};
  if (dice.one_in(8)) inputs.contact.on.reset();
  inputs.isolator = ContactSample{now, !dice.one_in(8), Reason::none};
  inputs.has_needs = !dice.one_in(8);
  inputs.peer_is_dry = dice.one_in(8);
  inputs.is_out = dice.one_in(20);
  inputs.now = now;
  return inputs;
}

}  // namespace

TEST_CASE("force: every cause of the table is forced, or says why not and how else it is shown",
          "[pump][force][rule-18]") {
  for (const Pump& pump : all_kinds()) {
    for (const CauseRow& row : cause_table()) {
      INFO("cause " << row.word);
      CHECK((forcing_of(pump, row.cause) == Forcing::none) == !why_not_forced(pump, row.cause).empty());
    }
  }
}

TEST_CASE("force: what is forced on a running pump stops it, under that cause's name",
          "[pump][force][rule-18]") {
  int tried = 0;
  for (const Pump& pump : all_kinds()) {
    for (const Cause cause : causes_of(pump)) {
      if (forcing_of(pump, cause) != Forcing::running) continue;
      INFO(pump.id << ", cause " << to_word(cause));
      PumpBench bench = at_work(pump);
      REQUIRE(bench.on());
      bench.story.clear();
      for (int second = 0; second < 15 && bench.on(); ++second)
        scan_forced(bench, cause);
      CHECK_FALSE(bench.on());
      REQUIRE_FALSE(bench.story.empty());
      CHECK(bench.story.front().cause == cause);
      if (row_of(cause).verdict >= Verdict::trip) CHECK(bench.memory.first_out == cause);
      ++tried;
    }
  }
  CHECK(tried > 20);
}

TEST_CASE("force: what is forced on a standing pump keeps it from starting, under that cause's name",
          "[pump][force][rule-18]") {
  for (const Pump& pump : all_kinds()) {
    for (const Cause cause : causes_of(pump)) {
      if (forcing_of(pump, cause) != Forcing::standing) continue;
      INFO(pump.id << ", cause " << to_word(cause));
      PumpBench bench{pump};
      bench.rested();
      REQUIRE_FALSE(bench.on());
      scan_forced(bench, cause);
      ask_for_a_run(bench);
      bool named = false;
      for (int second = 0; second < 10; ++second) {
        scan_forced(bench, cause);
        CHECK_FALSE(bench.on());
        named |= bench.held_by(cause);
      }
      CHECK(named);
    }
  }
}

TEST_CASE("force: it never makes a verdict better, and starts nothing that would not have started",
          "[pump][force][rule-18]") {
  Dice dice{20260301};
  int stopped = 0;
  const int rounds = support::is_brief() ? 300 : 3000;
  for (int round = 0; round < rounds; ++round) {
    Pump pump = all_kinds()[static_cast<std::size_t>(dice.roll(4))];
    if (dice.one_in(2)) pump.feedback.reset();
    if (dice.one_in(2)) pump.dry_run.power.reset();
    if (dice.one_in(3)) pump.dry_run.flow.reset();
    if (dice.one_in(4)) pump.when_unknown = BlindRuns{5min, 1h};
    PumpBench bench = dice.one_in(2) ? at_work(pump) : PumpBench{pump}.rested();
    for (int step = 0; step < 5; ++step) {
      bench.now += std::chrono::seconds{1 + dice.roll(90)};
      const PumpInputs inputs = any_inputs(dice, pump, bench.memory.order, bench.now);
      for (const Cause cause : causes_of(pump)) {
        INFO("round " << round << ", step " << step << ", cause " << to_word(cause));
        PumpInputs changed = inputs;
        force(changed, pump, bench.memory.order, cause);
        PumpMemory plain = bench.memory;
        PumpMemory forced = bench.memory;
        const Verdict before = worst_of(object(pump, plain, inputs));
        const Verdict after = worst_of(object(pump, forced, changed));
        // One trip may hide another, or a lock-out that a trip brings in the next scan; nothing worse.
        CHECK(after >= std::min(before, Verdict::trip));
        plain = bench.memory;
        forced = bench.memory;
        const bool may_run = solve(pump, plain, inputs).order == Order::on;
        const bool runs = solve(pump, forced, changed).order == Order::on;
        CHECK((may_run || !runs));
        stopped += may_run && !runs ? 1 : 0;
      }
      solve(pump, bench.memory, inputs);
    }
  }
  CHECK(stopped > 100);
}
