// Random pumps in random weather: the invariants of tests/support/bench_watch.hpp hold in every scan of every
// history. STILLWELL_SEED repeats a failure.

#include <algorithm>
#include <array>
#include <chrono>
#include <map>
#include <string>

#include "support/bench_pump.hpp"
#include "support/bench_seed.hpp"
#include "support/bench_watch.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::Dice;

namespace {

Duration some_time(Dice& dice, int most_seconds) {
  return std::chrono::milliseconds{dice.roll(most_seconds * 1000)};
}

Pump any_pump(Dice& dice) {
  Pump pump = dice.one_in(2) ? support::fill_pump() : support::drain_pump();
  if (dice.one_in(4)) pump.source.reset();
  if (dice.one_in(3)) pump.receiver.reset();
  if (dice.one_in(3)) pump.high_trip.reset();
  if (dice.one_in(4)) pump.source_clear.reset();
  if (dice.one_in(6)) pump.source_below.reset();
  if (dice.one_in(2)) pump.float_trip.reset();
  if (dice.one_in(2)) pump.source_float.reset();
  if (dice.one_in(2)) pump.feedback.reset();
  if (pump.feedback) pump.feedback->within = some_time(dice, 8);
  pump.contact_within = some_time(dice, 8);
  pump.limits = {.on_at_least = some_time(dice, 60),
                 .off_at_least = some_time(dice, 60),
                 .run_at_most = dice.one_in(2) ? Duration{0} : some_time(dice, 300),
                 .after_power_up = some_time(dice, 60),
                 .starts_per_hour = dice.roll(12)};
  for (int windows = dice.roll(3); windows > 0; --windows)
    pump.allowed.push_back({dice.roll(1440), dice.roll(1440)});
  return pump;
}

/// A level that wanders, jumps now and then, gets blurred and is lost for a while.
class Weather {
 public:
  Level next(Dice& dice) {
    metres_ = std::clamp(metres_ + dice.between(-0.15, 0.15), 0.0, 2.4);
    if (dice.one_in(300)) metres_ = dice.between(0.0, 2.4);
    if (lost_ > 0) --lost_;
    if (dice.one_in(200)) lost_ = dice.roll(20);
    if (lost_ > 0) return dice.one_in(4) ? Level{} : support::unknown();
    return support::known(metres_, dice.one_in(10) ? dice.between(0.0, 0.3) : 0.0);
  }

 private:
  double metres_ = 1.2;
  int lost_ = 0;
};

/// A relay module and a contactor that mostly obey, some scans later.
class Relay {
 public:
  void next(Dice& dice, Order ordered, PumpInputs& in) {
    if (ordered != last_) {
      last_ = ordered;
      lag_ = dice.roll(3);
    }
    if (trouble_ > 0) --trouble_;
    if (dice.one_in(250)) {
      trouble_ = dice.roll(30);
      kind_ = dice.roll(4);
    }
    const bool obeys = trouble_ == 0 || kind_ != 0;
    if (lag_ > 0) {
      --lag_;
    } else if (obeys) {
      closed_ = ordered == Order::on;
    }
    const bool silent = trouble_ > 0 && kind_ == 1;
    if (!silent) in.contact = {in.now - some_time(dice, 1) / 2, closed_, Reason::none};
    const bool deaf = trouble_ > 0 && kind_ == 2;
    const bool motor = trouble_ > 0 && kind_ == 3 ? dice.one_in(2) : closed_;
    if (in.feedback) in.feedback = deaf ? support::unreadable() : support::is_on(motor);
  }

 private:
  Order last_ = Order::off;
  bool closed_ = false;
  int lag_ = 0;
  int trouble_ = 0;
  int kind_ = 0;
};

std::optional<SwitchState> some_float(Dice& dice, bool there) {
  if (!there) return std::nullopt;
  if (dice.one_in(800)) return support::unreadable();
  return support::is_on(dice.one_in(400));
}

struct Tally {
  long scans = 0;
  std::map<Cause, int> causes;
  std::map<PumpEvent::Kind, int> kinds;
};

class History {
 public:
  History(Dice& dice, Tally& tally) : dice_{dice}, tally_{tally}, pump_{any_pump(dice)}, watch_{pump_} {
    in_.now = Instant{1h};
    if (pump_.feedback) in_.feedback = support::is_on(false);
  }

  /// Empty, or the broken promise.
  std::string scan() {
    people();
    in_.now += 1ms + some_time(dice_, 4);
    in_.tank = tank_.next(dice_);
    if (pump_.source) in_.source = far_end_.next(dice_);
    if (pump_.receiver) in_.receiver = far_end_.next(dice_);
    in_.float_trip = some_float(dice_, pump_.float_trip.has_value());
    in_.source_float = some_float(dice_, pump_.source_float.has_value());
    if (dice_.one_in(20)) minute_ = (minute_ + 1) % 1440;
    if (dice_.one_in(in_.is_out ? 100 : 1000)) in_.is_out = !in_.is_out;
    in_.minute_of_day = dice_.one_in(500) ? std::nullopt : std::optional{minute_};
    relay_.next(dice_, memory_.order, in_);
    const PumpOutcome out = solve(pump_, memory_, in_);
    count(out);
    return watch_.look(in_, memory_, out);
  }

 private:
  void people() {
    if (dice_.one_in(400)) {
      const Mode mode = dice_.one_in(3) ? Mode::off : Mode::automatic;
      set_mode(memory_, mode);
      watch_.person_sets(mode);
    }
    if (dice_.one_in(60) && reset(memory_)) watch_.person_resets();
  }

  void count(const PumpOutcome& out) {
    ++tally_.scans;
    for (const PumpEvent& event : out.events) {
      ++tally_.kinds[event.kind];
      if (event.cause) ++tally_.causes[*event.cause];
    }
    for (const Cause cause : out.held_by)
      ++tally_.causes[cause];
  }

  Dice& dice_;
  Tally& tally_;
  Pump pump_;
  PumpMemory memory_;
  PumpInputs in_;
  Weather tank_;
  Weather far_end_;
  Relay relay_;
  int minute_ = dice_.roll(1440);
  support::PumpWatch watch_;
};

}  // namespace

TEST_CASE("pump: its invariants hold in any history", "[pump][property]") {
  const auto seed = support::seed_or(20260306);
  Dice dice{seed};
  Tally tally;
  for (int each = 0; each < 200; ++each) {
    History history{dice, tally};
    for (int scan = 0; scan < 1000; ++scan) {
      const std::string broken = history.scan();
      if (broken.empty()) continue;
      FAIL("seed " << seed << ", history " << each << ", scan " << scan << ": " << broken);
    }
  }
  CHECK(tally.scans == 200'000);
  // The weather was rough enough to mean something: every cause spoke, and every kind of event came.
  for (const CauseRow& row : cause_table()) {
    INFO(row.word);
    CHECK(tally.causes[row.cause] > 0);
  }
  for (const auto kind : {PumpEvent::Kind::start, PumpEvent::Kind::stop, PumpEvent::Kind::trip,
                          PumpEvent::Kind::lock_out, PumpEvent::Kind::recover}) {
    INFO("kind " << static_cast<int>(kind));
    CHECK(tally.kinds[kind] > 100);
  }
}
