// A long random life of one alarm: conditions that flap and vanish, people who acknowledge, shelve and reset,
// service, suppression, and restarts at any step, through the state file and without a clock that tells the
// time away. After every step it is held against the published table and against a model of its own.
// STILLWELL_FULL=1 lives ten times as long, STILLWELL_BRIEF=1 a tenth.

#include "stillwell/report/state_json.hpp"
#include "stillwell/site/kept.hpp"

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <set>
#include <string>
#include <utility>

#include "support/bench_alarm_model.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

using Millis = std::int64_t;
using Edge = std::pair<AlarmState, AlarmState>;
using Edges = std::set<Edge>;
using enum AlarmState;

// The published rows (published_test.cpp walks them in the file), by who goes them.
const Edges kAcknowledged{{unacknowledged, acknowledged},
                          {returned_unacknowledged, normal},
                          {latched_unacknowledged, latched_acknowledged}};
const Edges kReset{{latched_unacknowledged, returned_unacknowledged}, {latched_acknowledged, normal}};
const Edges kByItself{{normal, unacknowledged},
                      {returned_unacknowledged, unacknowledged},
                      {acknowledged, unacknowledged},
                      {unacknowledged, returned_unacknowledged},
                      {acknowledged, normal},
                      {unacknowledged, latched_unacknowledged},
                      {acknowledged, latched_acknowledged}};
// Ours: a latched alarm whose process is abnormal again is a new one; the published diagram draws no line.
const Edges kOurs{{latched_unacknowledged, unacknowledged}, {latched_acknowledged, unacknowledged}};
const Edges kReturnsUnlatched{{unacknowledged, returned_unacknowledged}, {acknowledged, normal}};
const Edges kReturnsLatched{{unacknowledged, latched_unacknowledged}, {acknowledged, latched_acknowledged}};

bool is_latched(AlarmState state) {
  return state == latched_unacknowledged || state == latched_acknowledged;
}

Duration of(Millis ms) {
  return std::chrono::milliseconds{ms};
}

struct Rules {
  Millis after = 0;
  Millis clear_after = 0;
  std::optional<Millis> again_after;
  bool latch = false;
};

/// One life: an alarm, its true time, and what it should be.
class Life {
 public:
  Life(support::Dice& dice, std::string& step) : dice_{dice}, step_{step} {
    rules_ = {.after = dice_.one_in(3) ? 0 : span(1, 600'000),
              .clear_after = dice_.one_in(2) ? 0 : span(1, 600'000),
              .again_after = {},
              .latch = dice_.one_in(2)};
    if (dice_.one_in(2)) rules_.again_after = span(1000, 7'200'000);
    Alarm alarm{.id = "header/low", .of = TankIndex{0}, .after = of(rules_.after)};
    alarm.clear_after = of(rules_.clear_after);
    alarm.latch = rules_.latch;
    if (rules_.again_after) alarm.again_after = of(*rules_.again_after);
    model_.alarms = {alarm};
    condition_ = support::ConditionModel{rules_.after, rules_.clear_after};
    born();
  }

  void step() {
    const int what = dice_.roll(100);
    if (what < 72) return scan();
    if (what < 80) return person("acknowledges", kAcknowledged, [&] { return acknowledge(it(), now()); });
    if (what < 86) return person("resets", kReset, [&] { return reset(it(), now()); });
    if (what < 91) return shelve_it();
    if (what < 94) return unshelve_it();
    restart();
  }

 private:
  AlarmMemory& it() { return memory_.alarms.front(); }
  const Alarm& alarm() { return model_.alarms.front(); }
  [[nodiscard]] Instant now() const { return Instant{of(wall_ - boot_)}; }
  /// Spread over the orders of magnitude.
  Millis span(double from, double to) {
    return static_cast<Millis>(std::exp(dice_.between(std::log(from), std::log(to))));
  }
  void expect(bool kept, const char* promise) const {
    if (!kept) FAIL(promise << " — broken at " << step_);
  }

  /// A computer that starts, with a clock that begins anywhere.
  void born() {
    boot_ = wall_ - span(1, 1e9);
    memory_ = remember_nothing(model_);
  }

  void scan() {
    wall_ += span(1, 6.0 * 3600e3);
    if (dice_.one_in(3)) {
      const int roll = dice_.roll(5);
      holds_ = roll < 2 ? std::optional{true} : roll < 4 ? std::optional{false} : std::nullopt;
    }
    if (dice_.one_in(15)) aside_.by_design.suppressed = !aside_.by_design.suppressed;
    if (dice_.one_in(25)) aside_.by_design.out_of_service = !aside_.by_design.out_of_service;
    step_ += " scan";
    const AlarmState before = it().state;
    const bool was_active = it().active;
    const bool told = follow(it(), alarm(), holds_, aside_.by_design, now());
    condition_.step(holds_, wall_);
    const auto aside = aside_.step(wall_);
    expect(told == (before != it().state), "a change of state is told, and nothing else is");
    expect(holds_ || it().active == was_active, "a bad value neither raises nor clears");
    expect(it().active == condition_.active(), "on- and off-delay are kept");
    check_aside(aside);
    check_scan(before, aside.has_value());
    check_latch();
    check_again(before);
    count(before);
  }

  void check_aside(std::optional<AlarmState> aside) {
    const bool shelf_is_over = !aside_.shelf_ends_ms && it().state == shelved;
    expect(!shelf_is_over, "a shelved alarm never outlives its time");
    expect(!aside || is_aside(it().state), "an alarm that is aside never appears as unacknowledged");
    expect(!is_aside(it().state) || aside == it().state, "aside is what puts it aside, and no longer");
    expect(!aside || it().state == *aside, "what puts it aside says which aside it is");
    expect(it().shelf.has_value() == (it().state == shelved), "a shelf is there while it is shelved");
  }

  /// Every change is a row of the table, or two: back from aside, and aside again.
  void check_scan(AlarmState before, bool aside) {
    const AlarmState after = it().state;
    expect(rules_.latch || !is_latched(after), "no state outside the table of its variant");
    if (after == before) return;
    if (aside) return;  // any state may be put aside, and one that is aside comes back first
    if (is_aside(before)) {
      const AlarmState back = it().active ? unacknowledged : unreset_ ? latched_unacknowledged : normal;
      return expect(after == back,
                    "back from aside it is unacknowledged, latched if nobody reset it, or normal");
    }
    const Edge edge{before, after};
    const bool returns = kReturnsLatched.contains(edge) || kReturnsUnlatched.contains(edge);
    const bool right_return =
        rules_.latch ? kReturnsLatched.contains(edge) : kReturnsUnlatched.contains(edge);
    expect(kByItself.contains(edge) || kOurs.contains(edge), "a change of state is a row of the table");
    expect(!returns || right_return, "only a latched alarm latches");
    expect(returns == !it().active, "what rises is abnormal, what returns is not");
  }

  /// Nobody but a person ends a latched alarm, whatever was done to it.
  void check_latch() {
    unreset_ = unreset_ || (rules_.latch && it().active);
    const AlarmState state = it().state;
    expect(!unreset_ || (state != normal && state != returned_unacknowledged),
           "a latched alarm is never ended by anything but a person");
    const bool abnormal = state == unacknowledged || state == acknowledged;
    expect(is_aside(state) || abnormal == it().active, "no state claims a process that is not so");
  }

  void check_again(AlarmState before) {
    const bool again = before == acknowledged && it().state == unacknowledged;
    const bool due = rules_.again_after && before == acknowledged && wall_ - seen_ >= *rules_.again_after;
    expect(!again || due, "an acknowledged alarm is not announced again before its time");
    expect(!due || it().state != acknowledged,
           "an acknowledged alarm that stands is announced again in time");
  }

  void count(AlarmState before) {
    const AlarmState state = it().state;
    const bool rose =
        state != before && (state == unacknowledged || (is_aside(before) && state == latched_unacknowledged));
    rises_ += rose ? 1U : 0U;
    expect(it().raised_count == rises_, "each announcement is counted, once");
    expect(it().raised.size() <= kMostRaised, "the list of rises is bounded");
  }

  template <class Act>
  void person(const char* verb, const Edges& edges, Act act) {
    step_ += std::string(" ") + verb;
    const AlarmState before = it().state;
    const bool done = act();
    const Edge edge{before, it().state};
    expect(done ? edges.contains(edge) : before == it().state, "what a person does is a row of the table");
    const bool allowed =
        std::any_of(edges.begin(), edges.end(), [&](const Edge& row) { return row.first == before; });
    expect(done == allowed, "a person may do what the table draws, and nothing else");
    if (done && &edges == &kReset) unreset_ = false;
    if (done && it().state == acknowledged) seen_ = wall_;
    check_latch();
  }

  void shelve_it() {
    step_ += " shelves";
    const Millis lasts = span(60e3, 24.0 * 3600e3);
    const bool was_aside = is_aside(it().state);
    const bool done = shelve(it(), {now() + of(lasts), "cleaning, \"again\""}, now());
    expect(done == !was_aside, "whatever is not aside can be shelved");
    if (done) aside_.shelf_ends_ms = wall_ + lasts;
    expect(!done || it().state == shelved, "what is shelved is shelved");
  }

  void unshelve_it() {
    step_ += " unshelves";
    const AlarmState before = it().state;
    const bool done = unshelve(it(), alarm(), now());
    expect(done == (before == shelved), "only what is shelved is brought back");
    if (!done) return expect(it().state == before, "a refused command changes nothing");
    aside_.shelf_ends_ms.reset();
    check_scan(before, false);
    check_latch();
    count(before);
  }

  /// The state file's own form, every other time.
  Kept through_file(const Kept& kept) {
    if (dice_.one_in(2)) return kept;
    const auto read = report::parse_kept(report::to_json(kept));
    expect(static_cast<bool>(read), "what was written is read");
    expect(*read == kept, "what was written is read as it was");
    return *read;
  }

  void restart() {
    Kept kept = keep(model_, memory_, now());
    kept.since = now();
    const bool knows = !dice_.one_in(3);
    step_ += knows ? " restart" : " restart of unknown length";
    const Millis away = span(1, 48.0 * 3600e3);
    const Instant before = now();
    wall_ += away;
    born();
    restore(model_, through_file(kept), memory_, now(), knows ? std::optional{of(away)} : std::nullopt);
    condition_.restart();
    if (!knows && aside_.shelf_ends_ms) aside_.shelf_ends_ms = wall_;
    if (!knows) seen_ = wall_;
    if (knows) check_restored(kept, now() - of(away) - before);
    expect(it().state == kept.alarms[0].state && it().active == kept.alarms[0].active &&
               it().unreset == kept.alarms[0].unreset && it().raised_count == kept.alarms[0].raised_count,
           "state, condition and latch are the same after a restart");
  }

  /// All that is kept, moved to the new clock.
  void check_restored(const Kept& kept, Duration shift) {
    KeptAlarm alarm = kept.alarms.front();
    const auto move = [shift](std::optional<Instant>& instant) {
      if (instant) *instant += shift;
    };
    move(alarm.since);
    move(alarm.began);
    move(alarm.shelved_until);
    for (Instant& rise : alarm.raised)
      rise += shift;
    expect(keep(model_, memory_, now()).alarms.front() == alarm,
           "all that is kept of it is the same after a restart");
  }

  support::Dice& dice_;
  std::string& step_;
  Rules rules_;
  Model model_ = support::orchard_model();
  Memory memory_;
  Millis wall_ = 1'000'000'000'000;  ///< true time
  Millis boot_ = 0;                  ///< when this run's clock was zero
  std::optional<bool> holds_ = false;
  support::ConditionModel condition_;
  support::AsideModel aside_;
  bool unreset_ = false;
  Millis seen_ = 0;  ///< when it was acknowledged
  std::uint64_t rises_ = 0;
};

}  // namespace

TEST_CASE("alarm: a long random life keeps every promise", "[alarm][walk][random]") {
  constexpr int kStepsALife = 500;
  const int lives = support::is_brief() ? 200 : support::is_full() ? 20'000 : 2'000;  // 10^6 steps
  const auto seed = support::seed_or(20260614);
  support::Dice dice{seed};
  for (int life = 0; life < lives; ++life) {
    std::string step;
    Life one{dice, step};
    for (int at = 0; at < kStepsALife; ++at) {
      step = "seed " + std::to_string(seed) + ", life " + std::to_string(life) + ", step " +
             std::to_string(at) + ":";
      one.step();
    }
  }
  SUCCEED();
}
