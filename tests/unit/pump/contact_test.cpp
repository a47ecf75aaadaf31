// Contacts and feedback: an order is not a fact. What is not confirmed counts as the worse of the two.

#include <algorithm>
#include <chrono>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;
using Kind = PumpEvent::Kind;

namespace {

ContactSample reads(bool on, Instant at) {
  return {at, on, Reason::none};
}

/// A bench whose contact and motor do only what the test says.
PumpBench by_hand(PumpBench bench) {
  bench.contact_obeys = false;
  bench.motor_obeys = false;
  bench.story.clear();
  return bench;
}

int count(const PumpBench& bench, Cause cause) {
  return static_cast<int>(std::count_if(bench.story.begin(), bench.story.end(),
                                        [&](const PumpEvent& event) { return event.cause == cause; }));
}

}  // namespace

TEST_CASE("rule 11: a contact that dropped out stops its pump at once, which rests before it runs again",
          "[pump][rules][rule-11]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.story.clear();
  bench.contact_obeys = false;
  bench.inputs.contact = reads(false, bench.now + 1s);
  bench.scan();
  CHECK_FALSE(bench.on());
  REQUIRE(bench.story.size() == 1);
  CHECK(bench.story[0].kind == Kind::trip);
  CHECK(bench.story[0].cause == Cause::contact_unreachable);
  bench.contact_obeys = true;
  bench.inputs.tank = bench.asking();
  bench.scan_for(bench.rules.limits.off_at_least - 2s);
  CHECK_FALSE(bench.on());
  bench.scan_for(5s);
  CHECK(bench.on());
}

TEST_CASE("rule 12: an isolator that dropped out is closed again only above a contact that is off",
          "[pump][rules][rule-12]") {
  PumpBench bench{equipped(fill_pump())};
  bench.running();
  REQUIRE(bench.last.isolator == Order::on);
  bench.isolator_obeys = false;
  bench.inputs.isolator = reads(false, bench.now + 1s);
  bench.scan();
  CHECK_FALSE(bench.on());
  CHECK(bench.last.isolator == Order::off);
  bench.isolator_obeys = true;
  bench.contact_obeys = false;
  bench.inputs.contact = {};
  bench.scan_for(1min);
  CHECK(bench.last.isolator == Order::off);
  bench.contact_obeys = true;
  bench.scan_for(5s);
  CHECK(bench.last.isolator == Order::on);
}

TEST_CASE("rule 11: a contact not confirmed off never starts its pump", "[pump][rules]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    for (const bool reads_on : {false, true}) {
      PumpBench bench = by_hand(PumpBench{pump});
      bench.inputs.tank = bench.asking();
      bench.inputs.feedback = is_on(false);
      for (int second = 0; second < 3600; ++second) {
        if (reads_on) bench.inputs.contact = reads(true, bench.now + 1s);
        bench.scan();
        REQUIRE_FALSE(bench.on());
      }
      CHECK(bench.held_by(Cause::contact_unreachable));
    }
  }
}

TEST_CASE("rule 11: a contact that cannot be confirmed off is not stopped, and that is told once",
          "[pump][rules]") {
  for (const bool reads_on : {false, true}) {
    PumpBench bench{fill_pump()};
    bench.running();
    bench.inputs.tank = bench.at_rest();
    bench.scan();  // ordered off on level
    bench = by_hand(bench);
    bench.inputs.contact = {};
    for (int second = 0; second < 600; ++second) {
      if (reads_on) bench.inputs.contact = reads(true, bench.now + 1s);
      bench.scan();
    }
    CHECK(bench.last.state != PumpState::stopped);
    CHECK(bench.held_by(Cause::contact_unreachable));
    CHECK(count(bench, Cause::contact_unreachable) == 1);
    CHECK(bench.story.size() == 1);
  }
}

TEST_CASE("rule 11: a lost contact stops a running pump within its stated time", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench = by_hand(bench);
  const Instant last_read = bench.inputs.contact.at;
  while (bench.on() && bench.now < last_read + 1h) {
    bench.inputs.feedback = is_on(bench.memory.order == Order::on);
    bench.scan(100ms);
  }
  // The reading may be as old as contact_within, and then stays in doubt for as long again.
  CHECK(bench.now - last_read <= 2 * bench.rules.contact_within + 100ms);
  CHECK(bench.memory.first_out == Cause::contact_unreachable);
}

TEST_CASE("rule 11: a contact lost while running is told once and is not stopped until it is found",
          "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.story.clear();
  bench.contact_obeys = false;
  bench.inputs.contact = {};
  while (bench.on() && bench.now < Instant{3h})
    bench.scan();
  for (int second = 0; second < 600; ++second) {
    bench.scan();
    REQUIRE(bench.last.state == PumpState::tripped);
    REQUIRE(bench.held_by(Cause::contact_unreachable));
  }
  CHECK(bench.story.size() == 1);
  bench.contact_obeys = true;
  bench.inputs.tank = bench.at_rest();
  bench.scan();
  CHECK(bench.last.state == PumpState::stopped);
}

TEST_CASE("rule 11: a contact that reads off while ordered on stops the pump within its stated time",
          "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench = by_hand(bench);
  const Instant fell = bench.now;
  while (bench.on() && bench.now < fell + 1h) {
    bench.inputs.contact = reads(false, bench.now + 100ms);
    bench.inputs.feedback = is_on(true);
    bench.scan(100ms);
  }
  CHECK(bench.now - fell <= bench.rules.contact_within + 200ms);
  CHECK(bench.memory.first_out == Cause::contact_unreachable);
}

TEST_CASE("rule 11: a read made before the order confirms nothing", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rules.limits = {};  // no rest: the very next scan might start again
  bench.running();
  bench = by_hand(bench);
  bench.rules.contact_within = 1h;
  bench.inputs.feedback = is_on(false);
  bench.inputs.contact = reads(false, bench.now);  // from before the stop that comes now
  bench.inputs.tank = bench.at_rest();
  bench.scan();
  REQUIRE_FALSE(bench.on());
  bench.inputs.tank = bench.asking();
  for (int i = 0; i < 20; ++i)
    REQUIRE(bench.scan().order == Order::off);
  bench.inputs.contact = reads(false, bench.now);
  CHECK(bench.scan().order == Order::on);
}

TEST_CASE("rule 11: a read older than its stated time confirms nothing", "[pump][rules]") {
  PumpBench bench = by_hand(PumpBench{fill_pump()}.rested());
  bench.inputs.feedback = is_on(false);
  bench.inputs.tank = bench.asking();
  PumpBench fresh = bench;
  fresh.inputs.contact = reads(false, bench.now);
  CHECK(fresh.scan(3s).order == Order::on);
  bench.inputs.contact = reads(false, bench.now);
  CHECK(bench.scan(3s + 1ns).order == Order::off);
}

TEST_CASE("rule 11: after an outage the next start has its whole time to be confirmed", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.contact_obeys = false;
  bench.inputs.contact = {};
  bench.scan_for(10min);
  REQUIRE_FALSE(bench.on());
  bench.rules.limits = {};
  bench.contact_obeys = true;
  bench.scan();
  for (int i = 0; i < 5 && !bench.on(); ++i)
    bench.scan();
  REQUIRE(bench.on());
  bench = by_hand(bench);
  for (int i = 0; i < 2; ++i) {  // confirmed in the third second
    bench.inputs.feedback = is_on(true);
    CHECK(bench.scan().order == Order::on);
  }
  bench.inputs.contact = reads(true, bench.now);
  bench.scan_for(2s);
  CHECK(bench.on());
}

TEST_CASE("rule 11: the rest counts from the moment the contact was known to be off", "[pump][rules]") {
  // Until then the motor may have been running.
  PumpBench bench{fill_pump()};
  bench.running();
  bench.contact_obeys = false;
  bench.inputs.contact = {};
  bench.scan_for(10min);
  REQUIRE_FALSE(bench.on());
  bench.contact_obeys = true;
  const Instant confirmed = bench.now;
  while (!bench.on() && bench.now < confirmed + 1h)
    bench.scan();
  CHECK(bench.now - confirmed >= bench.rules.limits.off_at_least);
  CHECK(bench.on());
}

TEST_CASE("rule 12: on and no feedback within its time is no-feedback", "[pump][rules]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    PumpBench bench{pump};
    bench.rested();
    bench.motor_obeys = false;
    bench.inputs.feedback = is_on(false);
    bench.inputs.tank = bench.asking();
    bench.scan();
    REQUIRE(bench.on());
    CHECK(bench.last.state == PumpState::starting);
    const Instant started = bench.now;
    while (bench.on() && bench.now < started + 1h) {
      bench.scan(100ms);
      REQUIRE(bench.last.state != PumpState::running);
    }
    CHECK(bench.now - started >= 3s);
    CHECK(bench.now - started <= 3s + 300ms);
    CHECK(bench.memory.first_out == Cause::no_feedback);
  }
}

TEST_CASE("rule 12: a module that did not switch is not taken for a contactor that did not follow",
          "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rules.contact_within = 10s;
  bench.running();
  bench = by_hand(bench);
  bench.inputs.feedback = is_on(false);
  bench.inputs.contact = reads(false, bench.now);
  const Instant fell = bench.now;
  while (bench.on() && bench.now < fell + 1h)
    bench.scan(100ms);
  CHECK(bench.memory.first_out == Cause::contact_unreachable);
}

TEST_CASE("rule 12: off and the motor runs on is stuck-on, and needs a person", "[pump][rules]") {
  for (const Pump& pump : {fill_pump(), drain_pump()}) {
    PumpBench bench{pump};
    bench.running();
    bench.inputs.tank = bench.at_rest();
    bench.scan();
    bench.motor_obeys = false;
    bench.inputs.feedback = is_on(true);
    bench.story.clear();
    bench.scan_for(10min);
    CHECK(bench.last.state == PumpState::locked_out);
    REQUIRE(bench.story.size() == 1);
    CHECK(bench.story.front().kind == Kind::lock_out);
    CHECK(bench.story.front().cause == Cause::stuck_on);
    bench.motor_obeys = true;
    bench.inputs.tank = bench.asking();
    bench.scan_for(1h);
    CHECK_FALSE(bench.on());
    CHECK(bench.last.state == PumpState::locked_out);
  }
}

TEST_CASE("rule 12: at start-up stuck-on is judged before any permissive", "[pump][rules]") {
  // The pump is off, its levels are not known yet, and its motor runs.
  PumpBench bench{fill_pump()};
  bench.motor_obeys = false;
  bench.inputs.tank = unknown();
  bench.inputs.source = unknown();
  bench.inputs.feedback = is_on(true);
  bench.scan_for(10s);
  CHECK(bench.last.state == PumpState::locked_out);
  CHECK(bench.memory.first_out == Cause::stuck_on);
  CHECK(bench.last.held_by.front() == Cause::stuck_on);
}

TEST_CASE("rule 12: a motor not yet seen at rest is not started, however short it is in doubt",
          "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rested();
  bench.motor_obeys = false;
  bench.inputs.feedback = is_on(true);
  bench.inputs.tank = bench.asking();
  CHECK(bench.scan().order == Order::off);
  CHECK(bench.held_by(Cause::stuck_on));
}

TEST_CASE("rule 12: stuck-on is reset only when the motor is seen to stand, and locks out again when it runs",
          "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rested();
  bench.motor_obeys = false;
  bench.inputs.feedback = is_on(true);
  bench.scan_for(10s);
  REQUIRE(bench.last.state == PumpState::locked_out);
  bench.story.clear();
  for (const SwitchState& seen : {is_on(true), unreadable()}) {
    bench.inputs.feedback = seen;
    bench.scan_for(10s);
    CHECK_FALSE(reset(bench.memory));
  }
  CHECK(bench.story.empty());
  bench.inputs.feedback = is_on(false);
  bench.scan_for(10s);
  CHECK_FALSE(reset(bench.memory, Origin::network));
  CHECK(reset(bench.memory));
  bench.inputs.feedback = is_on(true);
  bench.scan_for(10s);
  CHECK(bench.last.state == PumpState::locked_out);
  CHECK(count(bench, Cause::stuck_on) == 1);
}

TEST_CASE("rule 12: each order gives the contactor its whole time again", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.rules.limits = {};
  bench.rested();
  bench.motor_obeys = false;
  bench.inputs.feedback = is_on(false);
  bench.inputs.tank = bench.asking();
  bench.scan();
  bench.scan();
  bench.scan(2500ms);  // slow to close, yet within its 3 s
  bench.inputs.feedback = is_on(true);
  bench.scan();
  bench.inputs.tank = bench.at_rest();
  bench.scan();
  bench.scan();
  bench.scan(2500ms);  // and slow to open
  bench.inputs.feedback = is_on(false);
  bench.scan();
  CHECK_FALSE(bench.memory.lock_out.has_value());
  CHECK_FALSE(bench.memory.first_out.has_value());
}

TEST_CASE("rule 12: a chattering feedback does not dodge its time", "[pump][rules]") {
  PumpBench bench{fill_pump()};
  bench.running();
  bench.motor_obeys = false;
  for (int look = 0; look < 60 && bench.on(); ++look) {
    bench.inputs.feedback = is_on(look % 2 == 0);
    bench.scan();
  }
  CHECK_FALSE(bench.on());
  CHECK(bench.memory.first_out == Cause::no_feedback);
}

TEST_CASE("rule 12: without feedback the contact alone says running", "[pump][rules]") {
  Pump pump = fill_pump();
  pump.feedback.reset();
  PumpBench bench{pump};
  bench.running();
  CHECK(bench.last.state == PumpState::running);
}
