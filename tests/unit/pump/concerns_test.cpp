// Which causes can come up for a pump, and what they do to it in each mode: what is said of them beforehand
// is compared with what the machine does when each of them is brought about.

#include "stillwell/pump/concerns.hpp"

#include <algorithm>
#include <functional>
#include <map>
#include <set>
#include <string>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::PumpBench;

namespace {

/// Everything that a pump that fills can have.
Pump full_pump() {
  Pump pump = support::equipped(support::fill_pump());
  pump.dry_run.rise = RiseGuard{MetresPerSecond{1e-4}, 10min};
  pump.needs = {PumpIndex{1}};
  pump.allowed = {{0, 60}};
  pump.limits.run_at_most = 15min;
  return pump;
}

Pump full_drain() {
  Pump pump = support::drain_pump();
  pump.allowed = {{0, 60}};
  pump.when_unknown = BlindRuns{5min, 1h};
  return pump;
}

Pump bare_pump() {
  Pump pump;
  pump.id = "bare";
  return pump;
}

std::set<std::string> words_of(const Pump& pump) {
  std::set<std::string> words;
  for (const Cause cause : causes_of(pump))
    words.emplace(to_word(cause));
  return words;
}

/// Its tank follows while it runs, and its window is open.
class Bench : public PumpBench {
 public:
  explicit Bench(Pump pump) : PumpBench{std::move(pump)} { inputs.minute_of_day = 30; }

  bool level_obeys = true;

  void step() {
    if (memory.order == Order::on && level_obeys) inputs.tank = moving();
    scan();
  }
  void steps(Duration time) {
    for (Duration gone{}; gone < time; gone += 1s)
      step();
  }
  Bench& at_work() {
    steps(rules.limits.after_power_up + rules.limits.off_at_least + 2s);
    inputs.tank = asking();
    step();
    steps(rules.limits.on_at_least + 2s);
    REQUIRE(on());
    return *this;
  }

 private:
  /// As a tank that follows: from between the levels towards the stop level, slowly.
  [[nodiscard]] Level moving() const {
    const double way = 2e-4 * seconds_of(now - memory.ordered_at);
    return support::known(fills() ? 1.1 + way : 0.9 - way);
  }
};

/// How a cause is brought about.
struct Trial {
  Pump pump;
  bool at_work = true;       ///< begins while it runs; otherwise while it stands and nothing is asked of it
  bool before_mode = false;  ///< and before anybody touches its mode
  std::function<void(Bench&)> force;
};

std::map<Cause, Trial> trials() {
  const Pump full = full_pump();
  const auto input = [](auto member, auto value) {
    return [=](Bench& bench) { bench.inputs.*member = value; };
  };
  const auto tank = [](Level level) {
    return [=](Bench& bench) { bench.level_obeys = false, bench.inputs.tank = level; };
  };
  const auto dry = [](auto dries) {
    return [=](Bench& bench) {
      bench.moves_water = false;
      dries(bench);
      bench.steps(11min);
    };
  };
  Pump limited = full;
  limited.limits.starts_per_hour = 1;
  std::map<Cause, Trial> all;
  all[Cause::stuck_on] = {full, false, false, [](Bench& bench) {
                            bench.motor_obeys = false;
                            bench.inputs.feedback = support::is_on(true);
                          }};
  all[Cause::contact_unreachable] = {full, true, false, [](Bench& bench) {
                                       bench.contact_obeys = false;
                                       bench.inputs.contact = {};
                                     }};
  all[Cause::isolator] = {full, true, false, [](Bench& bench) {
                            bench.isolator_obeys = false;
                            bench.inputs.isolator.reset();
                          }};
  all[Cause::selector] = {full, true, false, input(&PumpInputs::selector_off, support::is_on(true))};
  all[Cause::tank_unknown] = {full, true, false, tank(support::unknown())};
  all[Cause::source_unknown] = {full, true, false, input(&PumpInputs::source, support::unknown())};
  all[Cause::switch_unknown] = {full, true, false, input(&PumpInputs::float_trip, support::unreadable())};
  all[Cause::meter_unknown] = {full, true, false, [](Bench& bench) {
                                 bench.moves_water = false;
                                 bench.inputs.load = MeterState{};
                               }};
  all[Cause::source_low] = {full, true, false, input(&PumpInputs::source, support::known(0.1))};
  all[Cause::source_float] = {full, true, false, input(&PumpInputs::source_float, support::is_on(true))};
  all[Cause::tank_high] = {full, true, false, tank(support::known(2.3))};
  all[Cause::source_high] = {full_drain(), true, false, input(&PumpInputs::receiver, support::known(2.3))};
  all[Cause::float_switch] = {full, true, false, input(&PumpInputs::float_trip, support::is_on(true))};
  all[Cause::no_feedback] = {full, true, false, [](Bench& bench) {
                               bench.motor_obeys = false;
                               bench.inputs.feedback = support::is_on(false);
                             }};
  all[Cause::no_flow] = {full, true, true,
                         dry([](Bench& bench) { bench.inputs.flow = support::is_on(false); })};
  all[Cause::no_power] = {full, true, true,
                          dry([](Bench& bench) { bench.inputs.load = support::takes(100.0); })};
  all[Cause::no_rise] = {full, true, true, [](Bench& bench) {
                           bench.level_obeys = false;
                           bench.inputs.tank = bench.between();
                           bench.steps(11min);
                         }};
  all[Cause::over_time] = {full, true, false, [](Bench& bench) { bench.rules.limits.run_at_most = 1min; }};
  all[Cause::peer_dry] = {full, true, false, input(&PumpInputs::peer_is_dry, true)};
  all[Cause::needs] = {full, true, false, input(&PumpInputs::has_needs, false)};
  all[Cause::mode_off] = {full, true, false, [](Bench& bench) { set_mode(bench.memory, Mode::off); }};
  all[Cause::service_out] = {full, true, false, input(&PumpInputs::is_out, true)};
  all[Cause::command] = {full, true, false, input(&PumpInputs::is_released, true)};
  all[Cause::hand_ended] = {full, true, false, [](Bench& bench) {
                              if (bench.memory.mode == Mode::hand) bench.memory.hand_until = bench.now;
                            }};
  all[Cause::window] = {full, true, false, input(&PumpInputs::minute_of_day, 600)};
  all[Cause::flow_stuck] = {full, false, false, [](Bench& bench) {
                              bench.moves_water = false;
                              bench.inputs.flow = support::is_on(true);
                            }};
  all[Cause::power_up] = {full, false, false, [](Bench& bench) { bench.memory.began = bench.now; }};
  all[Cause::stagger] = {full, false, false, input(&PumpInputs::may_join, false)};
  all[Cause::rest] = {full, false, false, [](Bench& bench) { bench.memory.last_stop = bench.now; }};
  all[Cause::starts] = {limited, false, false, [](Bench& bench) { bench.memory.starts = {bench.now}; }};
  return all;
}

void stand(Bench& bench, Standing standing, Cause cause) {
  const bool for_hand = cause == Cause::hand_ended && standing == Standing::automatic;
  if (standing == Standing::in_hand || for_hand) set_hand(bench.memory, bench.now + 24h);
  if (standing == Standing::off) set_mode(bench.memory, Mode::off);
  if (standing == Standing::out_of_service) bench.inputs.is_out = true;
  bench.step();
}

Verdict verdict_of(PumpEvent::Kind kind) {
  if (kind == PumpEvent::Kind::lock_out) return Verdict::lock_out;
  if (kind == PumpEvent::Kind::trip) return Verdict::trip;
  return kind == PumpEvent::Kind::stop ? Verdict::stop : Verdict::permit;
}

/// What the machine does, by what it tells and by what holds it.
Verdict seen(const Trial& trial, Standing standing, Cause cause) {
  Bench bench{trial.pump};
  if (trial.at_work) {
    bench.at_work();
  } else {
    bench.steps(bench.rules.limits.after_power_up + bench.rules.limits.off_at_least + 2s);
  }
  const bool rests_already =
      trial.before_mode && standing != Standing::automatic && standing != Standing::in_hand;
  if (rests_already) {
    trial.force(bench);
    REQUIRE(bench.held_by(cause));
    bench.story.clear();
  }
  stand(bench, standing, cause);
  if (!rests_already) trial.force(bench);
  bench.steps(cause == Cause::over_time ? Duration{2min} : Duration{8s});
  Verdict worst = bench.held_by(cause) ? Verdict::hold_start : Verdict::permit;
  for (const PumpEvent& event : bench.story)
    if (event.cause == cause) worst = std::max(worst, verdict_of(event.kind));
  return worst;
}

}  // namespace

TEST_CASE("concerns: a pump that fills and has everything is of every cause but a receiver's",
          "[pump][concerns]") {
  std::set<std::string> all;
  for (const CauseRow& row : cause_table())
    all.emplace(row.word);
  all.erase("source-high");
  CHECK(words_of(full_pump()) == all);
}

TEST_CASE("concerns: every cause of the table can come up for some pump", "[pump][concerns]") {
  std::set<std::string> words = words_of(full_pump());
  words.merge(words_of(full_drain()));
  CHECK(words.size() == cause_table().size());
}

TEST_CASE("concerns: a bare pump has what no pump can be without", "[pump][concerns]") {
  CHECK(words_of(bare_pump()) == std::set<std::string>{"contact-unreachable", "tank-unknown", "mode-off",
                                                       "command", "service-out", "hand-ended", "stagger"});
}

TEST_CASE("concerns: a drain pump without a receiver knows no far end", "[pump][concerns]") {
  Pump pump = support::drain_pump();
  CHECK(words_of(pump).contains("source-high"));
  CHECK(words_of(pump).contains("source-unknown"));
  CHECK_FALSE(words_of(pump).contains("tank-high"));
  pump.receiver.reset();
  CHECK_FALSE(words_of(pump).contains("source-high"));
  CHECK_FALSE(words_of(pump).contains("source-unknown"));
  CHECK(words_of(pump).contains("source-low"));  // its suction is its own tank
}

TEST_CASE("concerns: each cause does to a pump in each mode what is said of it", "[pump][concerns]") {
  const auto all = trials();
  for (const CauseRow& row : cause_table()) {
    REQUIRE(all.contains(row.cause));
    for (const Standing standing : kEveryStanding) {
      INFO(row.word << " in " << to_word(standing));
      CHECK(to_word(seen(all.at(row.cause), standing, row.cause)) ==
            to_word(verdict_in(standing, row.cause)));
    }
  }
}

TEST_CASE("concerns: what overrides the minimum run stops a run that is young; a window waits for its end",
          "[pump][concerns]") {
  const auto all = trials();
  for (const CauseRow& row : cause_table()) {
    const Trial& trial = all.at(row.cause);
    if (row.verdict < Verdict::stop || !trial.at_work || trial.before_mode) continue;
    if (row.cause == Cause::hand_ended || row.cause == Cause::over_time) continue;  // both take their time
    INFO(row.word);
    Bench bench{trial.pump};
    bench.at_work();
    bench.rules.limits.on_at_least = 1h;
    trial.force(bench);
    bench.steps(8s);
    CHECK(bench.on() == row.waits_for_minimum_run);
  }
}
