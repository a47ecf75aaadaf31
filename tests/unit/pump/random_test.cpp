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

/// Its tank has no gauge, and nothing of it has a level.
void keep_by_floats(Dice& dice, Pump& pump) {
  pump.floats = TankFloats{SwitchIndex{6}, SwitchIndex{7}};
  if (dice.one_in(2)) pump.floats->high = SwitchIndex{8};
  if (pump.duty == Duty::fill) pump.high_trip.reset();
  if (pump.duty == Duty::drain) pump.source_below.reset();
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
  if (dice.one_in(3)) keep_by_floats(dice, pump);
  if (dice.one_in(2)) pump.feedback.reset();
  if (pump.feedback) pump.feedback->within = some_time(dice, 8);
  pump.contact_within = some_time(dice, 8);
  pump.limits = {.on_at_least = some_time(dice, 60),
                 .off_at_least = some_time(dice, 60),
                 .run_at_most = dice.one_in(2) ? Duration{0} : some_time(dice, 300),
                 .after_power_up = some_time(dice, 60),
                 .starts_per_hour = dice.roll(12)};
  if (dice.one_in(2)) pump.selector = {SwitchIndex{3}, SwitchIndex{4}};
  if (dice.one_in(2)) pump.isolator = Isolator{ContactIndex{1}, some_time(dice, 8)};
  if (dice.one_in(2)) pump.needs = {PumpIndex{1}};
  if (dice.one_in(2)) pump.dry_run.flow = FlowGuard{SwitchIndex{5}, some_time(dice, 20)};
  if (dice.one_in(2)) pump.dry_run.power = PowerGuard{MeterIndex{0}, MotorLoad{350.0}, some_time(dice, 20)};
  if (dice.one_in(3))
    pump.dry_run.rise = RiseGuard{MetresPerSecond{dice.between(0.0005, 0.01)}, 1s + some_time(dice, 60)};
  if (pump.floats) pump.dry_run.rise.reset();
  pump.dry_run.retry = {
      .after = some_time(dice, 60), .times = dice.roll(4), .proved_by = some_time(dice, 600)};
  if (pump.duty == Duty::drain && dice.one_in(2))
    pump.when_unknown = BlindRuns{.run_for = some_time(dice, 60), .every = 61s + some_time(dice, 100)};
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
    if (closed_ && dice.one_in(2000)) dropped_ = true;  // its supply browned out
    if (ordered == Order::off) dropped_ = false;
    const bool obeys = trouble_ == 0 || kind_ != 0;
    if (lag_ > 0) {
      --lag_;
    } else if (obeys) {
      closed_ = ordered == Order::on && !dropped_;
    }
    work(dice, in);
    const bool silent = trouble_ > 0 && kind_ == 1;
    if (!silent) in.contact = {in.now - some_time(dice, 1) / 2, closed_, Reason::none};
    const bool deaf = trouble_ > 0 && kind_ == 2;
    const bool motor = trouble_ > 0 && kind_ == 3 ? dice.one_in(2) : closed_;
    if (in.feedback) in.feedback = deaf ? support::unreadable() : support::is_on(motor);
  }

 private:
  /// The water and the motor's load follow the contactor, but for a while now and then.
  void work(Dice& dice, PumpInputs& in) {
    if (dry_ > 0) --dry_;
    if (dice.one_in(200)) dry_ = dice.roll(30);
    const bool lies = dry_ > 0 && dice.one_in(20);
    if (in.flow)
      in.flow = dice.one_in(900) ? support::unreadable() : support::is_on(closed_ != (dry_ > 0 || lies));
    if (in.load)
      in.load = dice.one_in(900) ? support::meter_lost() : support::takes(closed_ && dry_ == 0 ? 800.0 : 5.0);
  }

  int dry_ = 0;
  Order last_ = Order::off;
  bool closed_ = false;
  bool dropped_ = false;
  int lag_ = 0;
  int trouble_ = 0;
  int kind_ = 0;
};

/// What the floats say of such water: the lower one hangs at 0.8 m, the upper at 1.6 m, the high one at 2.1
/// m. Now and then one of them lies, or says nothing, for some scans.
class Floats {
 public:
  FloatStates next(Dice& dice, const Level& water, const TankFloats& hung) {
    if (water.level) metres_ = water.level->value();
    if (trouble_ > 0) --trouble_;
    if (dice.one_in(300)) {
      trouble_ = dice.roll(40);
      ill_ = dice.roll(3);
      mute_ = dice.one_in(2);
    }
    FloatStates states{.lower = one(0, 0.8), .upper = one(1, 1.6)};
    if (hung.high) states.high = one(2, 2.1);
    return states;
  }

 private:
  [[nodiscard]] SwitchState one(int at, double height) const {
    const bool reached = metres_ >= height;
    if (trouble_ == 0 || at != ill_) return support::is_on(reached);
    return mute_ ? support::unreadable() : support::is_on(!reached);
  }

  double metres_ = 1.2;
  int trouble_ = 0;
  int ill_ = 0;
  bool mute_ = false;
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
  long obeyed = 0;  ///< commands of the network, and so on
  long refused = 0;
  long resets = 0;
  long refused_resets = 0;
};

/// What the network has done against the people of the site, told apart from the code that must refuse it.
class NetworkWatch {
 public:
  void person_sets(Mode mode) { off_on_the_spot_ = mode == Mode::off; }
  void person_resets() { resets_ = 0; }
  void network_sets(Mode mode) { broken_ |= off_on_the_spot_ && mode != Mode::off; }
  void network_resets() { broken_ |= ++resets_ > 1; }
  void look(Order order, Duration proved_by, Instant now) {
    if (order == Order::off) since_.reset();
    if (order == Order::on && !since_) since_ = now;
    if (since_ && now - *since_ >= proved_by) resets_ = 0;
  }
  [[nodiscard]] bool broken() const { return broken_; }

 private:
  bool off_on_the_spot_ = false;
  int resets_ = 0;  ///< since a person's, or since the pump proved itself
  std::optional<Instant> since_;
  bool broken_ = false;
};

class History {
 public:
  enum class Network { silent, shouting };

  History(Dice& dice, Tally& tally, Network network = Network::silent)
      : dice_{dice}, tally_{tally}, network_{network}, pump_{any_pump(dice)}, watch_{pump_} {
    in_.now = Instant{1h};
    if (pump_.feedback) in_.feedback = support::is_on(false);
    if (pump_.dry_run.flow) in_.flow = support::is_on(false);
    if (pump_.dry_run.power) in_.load = support::takes(0.0);
  }

  /// Empty, or the broken promise.
  std::string scan() {
    people();
    if (network_ == Network::shouting) shout();
    in_.now += 1ms + some_time(dice_, 4);
    disk();
    in_.tank = tank_.next(dice_);
    if (pump_.floats) in_.floats = floats_.next(dice_, in_.tank, *pump_.floats);
    if (pump_.floats) in_.tank = Level{};
    if (pump_.source) in_.source = far_end_.next(dice_);
    if (pump_.receiver) in_.receiver = far_end_.next(dice_);
    in_.float_trip = some_float(dice_, pump_.float_trip.has_value());
    in_.source_float = some_float(dice_, pump_.source_float.has_value());
    if (dice_.one_in(20)) minute_ = (minute_ + 1) % 1440;
    if (dice_.one_in(in_.is_out ? 100 : 1000)) in_.is_out = !in_.is_out;
    in_.minute_of_day = dice_.one_in(500) ? std::nullopt : std::optional{minute_};
    in_.is_released = memory_.released;
    fellows();
    relay_.next(dice_, memory_.order, in_);
    const PumpOutcome out = solve(pump_, memory_, in_);
    count(out);
    network_watch_.look(out.order, pump_.dry_run.retry.proved_by, in_.now);
    if (network_watch_.broken()) return "the network undid what it may not";
    return watch_.look(in_, memory_, out);
  }

 private:
  /// It has the scan before this one, or a much older one.
  void disk() {
    if (keeps_ && !dice_.one_in(3)) in_.durable = in_.now - (dice_.one_in(4) ? 20s : 0s);
  }

  /// The panel, the isolator and the other pumps.
  void fellows() {
    if (dice_.one_in(300)) panel_hand_ = !panel_hand_;
    in_.selector_off = some_float(dice_, pump_.selector.off.has_value());
    if (pump_.selector.hand)
      in_.selector_hand = dice_.one_in(900) ? support::unreadable() : support::is_on(panel_hand_);
    const bool closed = (memory_.isolator == Order::on) != dice_.one_in(900);
    if (pump_.isolator && !dice_.one_in(10)) in_.isolator = ContactSample{in_.now, closed, Reason::none};
    in_.peer_is_dry = dice_.one_in(400) && suction_of(pump_);
    in_.has_needs = pump_.needs.empty() || !dice_.one_in(400);
    in_.may_join = !dice_.one_in(8);
  }

  void people() {
    if (dice_.one_in(700)) {
      const Instant until = in_.now + some_time(dice_, 120);
      set_hand(memory_, until);
      watch_.person_sets_hand(until);
    }
    if (dice_.one_in(400)) {
      const Mode mode = dice_.one_in(3) ? Mode::off : Mode::automatic;
      set_mode(memory_, mode);
      watch_.person_sets(mode);
      network_watch_.person_sets(mode);
    }
    if (dice_.one_in(3000)) {
      memory_.released = true;
      watch_.person_releases();
    }
    const int patience = network_ == Network::silent ? 60 : 600;
    if (!dice_.one_in(patience) || !reset(memory_)) return;
    watch_.person_resets();
    network_watch_.person_resets();
  }

  /// Most scans bring a command, in the hope that the pump starts.
  void shout() {
    const Mode mode = dice_.one_in(20) ? Mode::off : Mode::automatic;
    if (dice_.one_in(2)) {
      const bool done = set_mode(memory_, mode, Origin::network);
      ++(done ? tally_.obeyed : tally_.refused);
      if (done) watch_.person_sets(mode);
      if (done) network_watch_.network_sets(mode);
    }
    if (!dice_.one_in(2) || !memory_.lock_out) return;
    const bool done = reset(memory_, Origin::network);
    ++(done ? tally_.resets : tally_.refused_resets);
    if (done) watch_.person_resets();
    if (done) network_watch_.network_resets();
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
  Network network_;
  NetworkWatch network_watch_;
  Pump pump_;
  PumpMemory memory_;
  PumpInputs in_;
  Weather tank_;
  Weather far_end_;
  Floats floats_;
  Relay relay_;
  bool panel_hand_ = false;
  bool keeps_ = dice_.one_in(2);
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

TEST_CASE("pump: nothing that is sent overrides a trip, a lock-out or an off that was said on the spot",
          "[pump][property][network]") {
  const auto seed = support::seed_or(20260307);
  Dice dice{seed};
  Tally tally;
  for (int each = 0; each < 500; ++each) {
    History history{dice, tally, History::Network::shouting};
    for (int scan = 0; scan < 1000; ++scan) {
      const std::string broken = history.scan();
      if (broken.empty()) continue;
      FAIL("seed " << seed << ", history " << each << ", scan " << scan << ": " << broken);
    }
  }
  // The network was loud enough to mean something, and the people were there.
  CHECK(tally.obeyed > 10'000);
  CHECK(tally.refused > 1'000);
  CHECK(tally.resets > 50);
  CHECK(tally.refused_resets > 500);
  CHECK(tally.kinds[PumpEvent::Kind::start] > 100);
  CHECK(tally.kinds[PumpEvent::Kind::trip] > 100);
}
