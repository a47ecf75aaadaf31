#include "stillwell/site/kept.hpp"

#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

const Instant kNow = support::kSomeInstant;

/// A memory in which everything that is kept differs from a fresh one.
Memory eventful(const Model& model) {
  Memory memory = remember_nothing(model);
  memory.pumps[0].mode = Mode::off;
  memory.pumps[0].lock_out = Cause::stuck_on;
  memory.pumps[0].first_out = Cause::source_low;
  memory.pumps[0].tripped = true;
  memory.pumps[0].feedback_failures = 1;
  memory.pumps[0].starts = {kNow - 70min, kNow - 50min, kNow - 2min};
  memory.pumps[0].run_time = 5h;
  memory.pumps[0].start_count = 12;
  memory.pumps[0].off_by_network = true;
  memory.pumps[0].reset_by_network = true;
  memory.pumps[0].released = true;
  memory.pumps[0].started_at = support::some_stamp();
  memory.pumps[0].stopped_at = support::some_stamp() + 1h;
  memory.alarms[1].state = AlarmState::latched_unacknowledged;
  memory.alarms[2].active = true;
  memory.alarms[2].state = AlarmState::acknowledged;
  memory.gauges[0].motion.accepted = Metres{1.25};
  memory.gauges[0].motion.fence_above = Metres{1.9};
  TankAccounts& books = memory.accounts.tanks[0];
  for (std::int64_t day = 1; day <= 20; ++day)
    book(books.account, day, {.elapsed = 23h, .change = Litres{-100.0}}, Litres{5.0});
  books.night = Night{.minimum = LitresPerSecond{0.002}, .known = 0.9, .told = true, .leak = true};
  memory.accounts.pumps[0].moved = Litres{123456.75};
  memory.accounts.pumps[0].energy.used = Joules{3.6e6};
  for (int run = 0; run < 50; ++run)
    add_run(memory.accounts.pumps[0].wear, Litres{3500.0}, 1h);
  return memory;
}

}  // namespace

TEST_CASE("kept: what was kept and restored is kept again as the same", "[site][rule-23]") {
  const Model model = support::orchard_model();
  const Kept kept = keep(model, eventful(model), kNow);
  Memory memory = remember_nothing(model);
  restore(model, kept, memory, kNow + 1h, 1h);
  CHECK(keep(model, memory, kNow + 1h) == kept);
}

TEST_CASE("kept: the hours of a run that a power cut ends are not lost", "[site][counters]") {
  const Model model = support::orchard_model();
  Memory memory = eventful(model);
  memory.pumps[0].order = Order::on;
  memory.pumps[0].ordered_at = kNow - 90min;
  const Kept kept = keep(model, memory, kNow);
  Memory after = remember_nothing(model);
  restore(model, kept, after, kNow + 3h, 1h);
  CHECK(after.pumps[0].run_time == 5h + 90min);
  CHECK(after.pumps[0].order == Order::off);
}

TEST_CASE("kept: a held pump that is no longer named leaves those that are new off", "[site][rule-23]") {
  const Model before = support::orchard_model();
  const Kept kept = keep(before, eventful(before), kNow);
  CHECK(heirless(before, kept).empty());
  Model after = before;
  after.pumps[0].id = "lift-new";
  CHECK(heirless(after, kept) == std::vector<std::string>{"lift"});
  Memory memory = remember_nothing(after);
  restore(after, kept, memory, kNow + 3h, 1h);
  CHECK(switch_off_newcomers(after, kept, memory) == std::vector<std::string>{"lift-new"});
  CHECK(memory.pumps[0].mode == Mode::off);
  CHECK(memory.pumps[1].mode == Mode::automatic);
}

TEST_CASE("kept: starts of the last hour count as just made after a restart", "[site][rule-22]") {
  const Model model = support::orchard_model();
  const Kept kept = keep(model, eventful(model), kNow);
  CHECK(kept.pumps[0].recent_starts == 2);
  Memory memory = remember_nothing(model);
  restore(model, kept, memory, kNow + 3h, 1h);
  CHECK(memory.pumps[0].starts == std::vector<Instant>{kNow + 3h, kNow + 3h});
  CHECK_FALSE(memory.pumps[0].last_stop.has_value());
}

TEST_CASE("kept: things are found by their name when the configuration has moved them", "[site][rule-23]") {
  Model model = support::orchard_model();
  const Kept kept = keep(model, eventful(model), kNow);
  std::swap(model.pumps[0], model.pumps[1]);
  Memory memory = remember_nothing(model);
  restore(model, kept, memory, kNow, 1h);
  CHECK(memory.pumps[1].lock_out == Cause::stuck_on);
  CHECK_FALSE(memory.pumps[0].lock_out.has_value());
}

TEST_CASE("kept: the accounts go on where they were", "[site][accounts]") {
  const Model model = support::orchard_model();
  const Memory before = eventful(model);
  Memory memory = remember_nothing(model);
  restore(model, keep(model, before, kNow), memory, kNow, 1h);
  CHECK(memory.accounts.tanks[0].account == before.accounts.tanks[0].account);
  CHECK(memory.accounts.tanks[0].night == before.accounts.tanks[0].night);
  CHECK(memory.accounts.pumps[0].moved == Litres{123456.75});
  CHECK(memory.accounts.pumps[0].energy.used == kKilowattHour);
  CHECK(wear_ratio(memory.accounts.pumps[0].wear, LitresPerSecond{1.0}).value() == Approx(3500.0 / 3600.0));
  CHECK_FALSE(memory.accounts.day);  // which day it is must be seen anew
}

TEST_CASE("kept: what guards is told from the accounts", "[site][accounts]") {
  const Model model = support::orchard_model();
  Memory memory = eventful(model);
  const Kept kept = keep(model, memory, kNow);
  memory.accounts.pumps[0].moved += Litres{1.0};
  CHECK(keep(model, memory, kNow).guards_as(kept));
  CHECK_FALSE(keep(model, memory, kNow) == kept);
  memory.alarms[0].active = true;
  CHECK_FALSE(keep(model, memory, kNow).guards_as(kept));
}

TEST_CASE("kept: a pump that is new keeps the first mode of the configuration", "[site]") {
  Model model = support::orchard_model();
  model.pumps[0].first_mode = Mode::off;
  Memory memory = remember_nothing(model);
  restore(model, Kept{}, memory, kNow, 1h);
  CHECK(memory.pumps[0].mode == Mode::off);
  CHECK(memory.pumps[1].mode == Mode::automatic);
}

TEST_CASE("kept: who switched a pump off, and who reset it, outlives a restart", "[site][rule-10][rule-15]") {
  const Model model = support::orchard_model();
  Memory memory = remember_nothing(model);
  restore(model, keep(model, eventful(model), kNow), memory, kNow, 1h);
  CHECK_FALSE(reset(memory.pumps[0], Origin::network));
  CHECK(set_mode(memory.pumps[0], Mode::automatic, Origin::network));
  set_mode(memory.pumps[1], Mode::off);
  restore(model, keep(model, memory, kNow), memory, kNow, 1h);
  CHECK_FALSE(set_mode(memory.pumps[1], Mode::automatic, Origin::network));
}

TEST_CASE("kept: when it is lost every pump is off until a person says otherwise", "[site][rule-23]") {
  const Model model = support::orchard_model();
  Memory memory = remember_nothing(model);
  set_mode(memory.pumps[0], Mode::off, Origin::network);
  distrust(model, memory, kNow);
  for (PumpMemory& pump : memory.pumps) {
    CHECK(pump.mode == Mode::off);
    CHECK_FALSE(set_mode(pump, Mode::automatic, Origin::network));
  }
}
