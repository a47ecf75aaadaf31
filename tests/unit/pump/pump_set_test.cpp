// Pumps that share one duty: whose turn it is, and what passes a turn on (rule 8).

#include "stillwell/pump/pump_set.hpp"

#include <algorithm>
#include <chrono>
#include <string>
#include <vector>

#include "support/bench_pump.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using namespace support;

namespace {

/// Two or three pumps on one sump, each on a bench of its own, called by their set in every scan.
class SetBench {
 public:
  explicit SetBench(SetOrder order = SetOrder::alternate, std::size_t count = 2, Pump pump = drain_pump()) {
    set.id = "lift";
    set.order = order;
    set.second_level = Metres{1.4};
    for (std::size_t at = 0; at < count; ++at) {
      set.pumps.push_back({at});
      benches.emplace_back(pump);
      rules.push_back(pump);
    }
    if (pump.floats) set.second_level.reset();
  }

  PumpSet set;
  PumpSetMemory memory;
  std::vector<Pump> rules;
  std::vector<PumpBench> benches;
  std::vector<PumpIndex> called;

  void scan(Duration later = 1s) {
    std::vector<PumpMemory> members;
    for (const PumpBench& bench : benches)
      members.push_back(bench.memory);
    called = call(set, memory, rules, members, benches.front().inputs);
    for (std::size_t at = 0; at < benches.size(); ++at) {
      benches[at].inputs.called = std::ranges::find(called, PumpIndex{at}) != called.end();
      if (!std::ranges::any_of(benches[at].scan(later).events, is_start)) continue;
      members[at] = benches[at].memory;
      note_start({at}, set, memory, members);
    }
  }
  void scan_for(Duration time) {
    for (Duration passed{0}; passed < time; passed += 1s)
      scan();
  }
  void stand_at(const Level& level) {
    for (PumpBench& bench : benches)
      bench.inputs.tank = level;
  }
  /// Rested, with nothing to do; then a run: up to the start level, down to the stop level.
  void rest() {
    stand_at(known(0.45));
    scan_for(4min);
  }
  /// Who ran, as letters: "a", "ab".
  std::string run(double level = 1.1) {
    rest();
    stand_at(known(level));
    scan_for(5s);
    return running();
  }
  [[nodiscard]] std::string running() const {
    std::string who;
    for (std::size_t at = 0; at < benches.size(); ++at)
      if (benches[at].on()) who += static_cast<char>('a' + at);
    return who;
  }

 private:
  static bool is_start(const PumpEvent& event) { return event.kind == PumpEvent::Kind::start; }
};

}  // namespace

TEST_CASE("set: pumps that alternate share their starts", "[pump][set]") {
  SetBench two;
  CHECK(two.run() == "a");
  CHECK(two.run() == "b");
  CHECK(two.run() == "a");
  SetBench three{SetOrder::alternate, 3};
  CHECK(three.run() == "a");
  CHECK(three.run() == "b");
  CHECK(three.run() == "c");
  CHECK(three.run() == "a");
}

TEST_CASE("set: in a fixed order the first one that can begins each time", "[pump][set]") {
  SetBench bench{SetOrder::fixed};
  CHECK(bench.run() == "a");
  CHECK(bench.run() == "a");
  set_mode(bench.benches[0].memory, Mode::off);
  CHECK(bench.run() == "b");
  set_mode(bench.benches[0].memory, Mode::automatic);
  CHECK(bench.run() == "a");
}

TEST_CASE("set: the second level calls another, and both stay until the stop level", "[pump][set]") {
  SetBench bench;
  CHECK(bench.run(1.2) == "a");
  bench.stand_at(known(1.45));
  bench.scan_for(5s);
  CHECK(bench.running() == "ab");
  bench.stand_at(known(0.8));  // below the start level
  bench.scan_for(5s);
  CHECK(bench.running() == "ab");
  bench.stand_at(known(0.5));
  bench.scan();
  CHECK(bench.running().empty());
  CHECK(bench.run() == "a");  // b started last
}

TEST_CASE("set: a fill set calls its second below the start level", "[pump][set]") {
  SetBench bench{SetOrder::alternate, 2, fill_pump()};
  bench.set.second_level = Metres{0.7};
  bench.stand_at(known(2.1));
  bench.scan_for(4min);
  bench.stand_at(known(0.9));
  bench.scan_for(5s);
  CHECK(bench.running() == "a");
  bench.stand_at(known(0.7));
  bench.scan_for(5s);
  CHECK(bench.running() == "ab");
}

TEST_CASE("rule 2: a second pump is called at the edge that is sure", "[pump][set][rules]") {
  SetBench bench;
  CHECK(bench.run(1.2) == "a");
  bench.stand_at(known(1.45, 0.1));  // from 1.35 m
  bench.scan_for(5s);
  CHECK(bench.running() == "a");
  bench.stand_at(unknown());
  bench.scan();
  CHECK(bench.running().empty());
  CHECK(bench.called.empty());
}

TEST_CASE("set: floats call the second of a drain set by the high one", "[pump][set]") {
  SetBench bench{SetOrder::alternate, 2, by_floats(drain_pump())};
  const auto reach = [&](int count) {
    for (PumpBench& one : bench.benches)
      one.stand_at(count);
  };
  reach(0);
  bench.scan_for(4min);
  reach(2);
  bench.scan_for(5s);
  CHECK(bench.running() == "a");
  reach(3);
  bench.scan_for(5s);
  CHECK(bench.running() == "ab");
  reach(1);
  bench.scan_for(5s);
  CHECK(bench.running() == "ab");
  reach(0);
  bench.scan();
  CHECK(bench.running().empty());
}

TEST_CASE("set: the turn does not pass within a run", "[pump][set]") {
  SetBench bench;
  set_mode(bench.benches[0].memory, Mode::off);
  CHECK(bench.run() == "b");
  set_mode(bench.benches[0].memory, Mode::automatic);
  bench.scan_for(5min);
  CHECK(bench.running() == "b");
}

TEST_CASE("rule 8: another takes over for a missing feedback, a lost contact, an isolator",
          "[pump][set][rules]") {
  SetBench bench;
  REQUIRE(bench.run() == "a");
  PumpBench& lead = bench.benches[0];
  SECTION("no-feedback") {
    lead.motor_obeys = false;
    lead.inputs.feedback = is_on(false);
    bench.scan_for(10s);
    CHECK(lead.memory.first_out == Cause::no_feedback);
  }
  SECTION("contact-unreachable") {
    lead.contact_obeys = false;
    lead.inputs.contact = {};
    bench.scan_for(10s);
    CHECK(lead.memory.first_out == Cause::contact_unreachable);
  }
  SECTION("a module that carries its contact and its switches") {
    lead.contact_obeys = lead.motor_obeys = false;
    lead.inputs.contact = {};
    lead.inputs.feedback = unreadable();
    bench.scan_for(10s);
    CHECK(lead.held_by(Cause::switch_unknown));
  }
  CHECK(bench.running() == "b");
}

TEST_CASE("rule 8: no other takes over from a pump that ran dry", "[pump][set][rules]") {
  SetBench bench{SetOrder::fixed, 2, equipped(drain_pump())};
  REQUIRE(bench.run() == "a");
  PumpBench& lead = bench.benches[0];
  lead.moves_water = false;
  lead.inputs.flow = is_on(false);
  lead.inputs.load = takes(0.0);
  bench.scan_for(15s);
  REQUIRE(lead.memory.first_out == Cause::no_power);
  CHECK(bench.running().empty());
  bench.scan_for(10min);
  CHECK(bench.running().empty());
  SECTION("also when people need it meanwhile, the other has its turn") {
    set_mode(lead.memory, Mode::off);
    bench.scan_for(5s);
    CHECK(bench.running() == "b");
  }
  SECTION("and the second level calls the other by its own right") {
    bench.stand_at(known(1.5));
    bench.scan_for(5s);
    CHECK(bench.running() == "b");
  }
}

TEST_CASE("rule 8: what waits passes its turn on, but not beside what keeps it", "[pump][set][rules]") {
  using enum Cause;
  CHECK_FALSE(passes_on({}));
  CHECK(passes_on({rest}));
  CHECK(passes_on({starts, rest}));
  CHECK_FALSE(passes_on({over_time, rest}));
  CHECK_FALSE(passes_on({source_low, rest}));
  CHECK_FALSE(passes_on({no_flow, starts}));
  CHECK_FALSE(passes_on({stagger, rest}));
  CHECK(passes_on({switch_unknown, contact_unreachable, rest}));
  CHECK(passes_on({no_flow, service_out}));
}

TEST_CASE("rule 8: no cause that may be a dry one passes a turn on", "[pump][set][rules]") {
  using enum Cause;
  for (const Cause dry : {source_unknown, source_low, source_float, no_flow, no_power, no_rise, peer_dry}) {
    INFO(to_word(dry));
    CHECK(row_of(dry).turn == Turn::keeps);
    CHECK_FALSE(passes_on({dry, rest, starts}));
  }
}

TEST_CASE("set: one that has spent its starts lets the next one go first", "[pump][set]") {
  Pump pump = drain_pump();
  pump.limits.starts_per_hour = 2;
  SetBench bench{SetOrder::fixed, 2, pump};
  CHECK(bench.run() == "a");
  CHECK(bench.run() == "a");
  CHECK(bench.run() == "b");
}

TEST_CASE("set: a pump in hand belongs to whoever set it so", "[pump][set]") {
  SetBench bench;
  bench.rest();
  REQUIRE(set_hand(bench.benches[0].memory, bench.benches[0].now + 10min));
  bench.stand_at(known(0.8));  // the level asks for none
  bench.scan_for(5s);
  CHECK(bench.running() == "a");
  bench.stand_at(known(1.1));  // now it asks for one
  bench.scan_for(5s);
  CHECK(bench.running() == "ab");
}

TEST_CASE("set: being called overrides nothing", "[pump][set]") {
  SetBench bench;
  bench.rest();
  for (PumpBench& one : bench.benches)
    one.inputs.receiver = known(2.3);  // above the high trip
  bench.stand_at(known(1.5));
  bench.scan_for(1min);
  CHECK(bench.called.size() == 2);
  CHECK(bench.running().empty());
}

TEST_CASE("set: whose turn a start takes is told", "[pump][set]") {
  SetBench bench;
  set_mode(bench.benches[0].memory, Mode::off);
  bench.rest();
  std::vector<PumpMemory> members{bench.benches[0].memory, bench.benches[1].memory};
  CHECK(note_start({1}, bench.set, bench.memory, members) == std::vector<PumpIndex>{{0}});
  CHECK(bench.memory.last_started == PumpIndex{1});
  CHECK(note_start({0}, bench.set, bench.memory, members).empty());
}
