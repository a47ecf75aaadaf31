// When a horn sounds, what silences it, and when it ends by itself.

#include "stillwell/alarm/annunciator.hpp"

#include <chrono>

#include "support/bench_horn.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::Dice;
using support::HornBench;
using State = AlarmState;
using Told = AnnunciatorEvent;

namespace {

HornBench sounding() {
  HornBench bench;
  bench.scan();
  REQUIRE(bench.scan(State::unacknowledged));
  return bench;
}

HornBench silenced() {
  HornBench bench = sounding();
  REQUIRE(silence(bench.memory, bench.now));
  REQUIRE_FALSE(bench.scan());
  return bench;
}

}  // namespace

TEST_CASE("annunciator: it is off while there is no alarm, whatever is unknown", "[alarm][horn]") {
  HornBench bench;
  bench.button.reset();
  bench.contact.reset();
  bench.obeys = false;
  for (int scan = 0; scan < 100; ++scan)
    CHECK_FALSE(bench.scan());
}

TEST_CASE("annunciator: a new alarm sounds it, and it goes on sounding", "[alarm][horn]") {
  HornBench bench;
  bench.scan();
  CHECK(bench.scan(State::unacknowledged));
  CHECK(bench.told(Told::sounds));
  for (int scan = 0; scan < 100; ++scan) {
    CHECK(bench.scan());
    CHECK(bench.events.empty());
  }
}

TEST_CASE("annunciator: any acknowledge of an alarm it sounds for silences it", "[alarm][horn]") {
  HornBench bench = sounding();
  CHECK(bench.scan(State::unacknowledged, State::unacknowledged));
  CHECK_FALSE(bench.scan(State::acknowledged, State::unacknowledged));
  CHECK(bench.told(Told::silenced_by_acknowledge));
  CHECK_FALSE(bench.scan());
}

TEST_CASE("annunciator: an acknowledged alarm that latched or ended in the same scan silences it too",
          "[alarm][horn]") {
  for (const State after : {State::latched_acknowledged, State::normal}) {
    HornBench bench = sounding();
    CHECK(bench.scan(State::unacknowledged, State::unacknowledged));
    CHECK_FALSE(bench.scan(after, State::unacknowledged));
    CHECK(bench.told(Told::silenced_by_acknowledge));
  }
}

TEST_CASE("annunciator: the button silences it, and a new alarm sounds it again", "[alarm][horn]") {
  HornBench bench = sounding();
  bench.button = true;
  CHECK(bench.scan());
  CHECK_FALSE(bench.scan());
  CHECK(bench.told(Told::silenced_by_switch));
  bench.button = false;
  CHECK_FALSE(bench.scan());
  CHECK(bench.scan(State::unacknowledged, State::unacknowledged));
  CHECK(bench.told(Told::sounds));
}

TEST_CASE("annunciator: an alarm that returns and rises again is a new one", "[alarm][horn]") {
  HornBench bench = silenced();
  CHECK_FALSE(bench.scan(State::returned_unacknowledged));
  CHECK(bench.scan(State::unacknowledged));
}

TEST_CASE("annunciator: a new alarm outweighs a press and an acknowledge of the same scan", "[alarm][horn]") {
  HornBench bench = sounding();
  bench.button = true;
  CHECK(bench.scan());
  CHECK(bench.scan(State::acknowledged, State::unacknowledged));
  CHECK(bench.events.empty());
}

TEST_CASE("annunciator: it ends by itself when all alarms have returned", "[alarm][horn]") {
  HornBench bench = sounding();
  CHECK(bench.scan(State::unacknowledged, State::unacknowledged));
  CHECK(bench.scan(State::returned_unacknowledged, State::unacknowledged));
  CHECK_FALSE(bench.scan(State::returned_unacknowledged, State::returned_unacknowledged));
  CHECK(bench.told(Told::ended));
  CHECK(bench.memory.state == AnnunciatorState::quiet);
}

TEST_CASE("annunciator: a latched alarm that nobody acknowledged keeps it sounding", "[alarm][horn]") {
  HornBench bench = sounding();
  for (int scan = 0; scan < 100; ++scan)
    CHECK(bench.scan(State::latched_unacknowledged));
  SECTION("until it is acknowledged") {
    CHECK_FALSE(bench.scan(State::latched_acknowledged));
  }
  SECTION("until it is silenced") {
    CHECK(silence(bench.memory, bench.now));
    CHECK_FALSE(bench.scan());
  }
}

TEST_CASE("annunciator: silenced, it sounds again after its pause while an alarm stands", "[alarm][horn]") {
  for (const State state : {State::unacknowledged, State::acknowledged, State::latched_unacknowledged}) {
    HornBench bench = silenced();
    bench.scan(state);
    bench.memory.since = bench.now;
    CHECK_FALSE(bench.scan(30min - 1s));
    CHECK(bench.scan(1s));
    CHECK(bench.told(Told::sounds_again));
  }
}

TEST_CASE("annunciator: silenced, it does not sound again for alarms that have returned", "[alarm][horn]") {
  for (const State state : {State::normal, State::returned_unacknowledged, State::latched_acknowledged}) {
    HornBench bench = silenced();
    CHECK_FALSE(bench.scan(state));
    CHECK(bench.told(Told::ended));
    CHECK_FALSE(bench.scan(31min));
  }
}

TEST_CASE("annunciator: without a pause it stays silent until a new alarm", "[alarm][horn]") {
  HornBench bench;
  bench.rules.again_after.reset();
  bench.scan();
  bench.scan(State::unacknowledged);
  CHECK(silence(bench.memory, bench.now));
  CHECK_FALSE(bench.scan(48h));
  CHECK(bench.scan(State::unacknowledged, State::unacknowledged));
}

TEST_CASE("annunciator: silence is refused where nothing sounds, and lasts no longer for it",
          "[alarm][horn]") {
  HornBench quiet;
  quiet.scan();
  CHECK_FALSE(silence(quiet.memory, quiet.now));
  HornBench bench = silenced();
  bench.scan(29min);
  CHECK_FALSE(silence(bench.memory, bench.now));
  CHECK(bench.scan(1min));
}

TEST_CASE("annunciator: after a restart an alarm that nobody acknowledged sounds again", "[alarm][horn]") {
  for (const State state : {State::unacknowledged, State::latched_unacknowledged}) {
    HornBench bench = silenced();
    bench.scan(state);
    bench.restart();
    CHECK(bench.scan());
    CHECK(bench.told(Told::sounds_after_start));
  }
}

TEST_CASE("annunciator: after a restart an acknowledged alarm is silent, and its pause begins anew",
          "[alarm][horn]") {
  HornBench bench = sounding();
  bench.scan(State::acknowledged);
  bench.restart();
  CHECK_FALSE(bench.scan());
  CHECK(bench.events.empty());
  CHECK_FALSE(bench.scan(30min - 1s));
  CHECK(bench.scan(1s));
  CHECK(bench.told(Told::sounds_again));
}

TEST_CASE("annunciator: after a restart an alarm that has returned does not sound", "[alarm][horn]") {
  HornBench bench = sounding();
  bench.scan(State::returned_unacknowledged);
  bench.restart();
  CHECK_FALSE(bench.scan());
  CHECK(bench.memory.state == AnnunciatorState::quiet);
}

TEST_CASE("annunciator: a test sounds for three seconds and changes nothing else", "[alarm][horn]") {
  HornBench bench;
  SECTION("when it is quiet") {
    bench.scan();
  }
  SECTION("also when it is silenced") {
    bench = silenced();
  }
  SECTION("also when it never saw a scan") {}
  const AnnunciatorState state = bench.memory.state;
  test(bench.memory, bench.now);
  CHECK(bench.scan(0s));
  CHECK(bench.scan(2999ms));
  CHECK_FALSE(bench.scan(1ms));
  CHECK(bench.memory.state == state);
}

TEST_CASE("annunciator: a test ends by itself although nobody looked for an hour", "[alarm][horn]") {
  HornBench bench;
  bench.scan();
  test(bench.memory, bench.now);
  CHECK(bench.scan(1s));
  CHECK_FALSE(bench.scan(1h));
}

TEST_CASE("annunciator: an alarm that rises during a test goes on sounding after it", "[alarm][horn]") {
  HornBench bench;
  bench.scan();
  test(bench.memory, bench.now);
  CHECK(bench.scan());
  CHECK(bench.scan(State::unacknowledged));
  CHECK(bench.scan(10s));
}

TEST_CASE("annunciator: a button that hangs silences once", "[alarm][horn]") {
  HornBench bench = sounding();
  bench.button = true;
  bench.scan();
  CHECK_FALSE(bench.scan());
  CHECK(bench.scan(State::unacknowledged, State::unacknowledged));
  for (int scan = 0; scan < 100; ++scan)
    CHECK(bench.scan());
}

TEST_CASE("annunciator: a button that is found pressed or cannot be read silences nothing", "[alarm][horn]") {
  for (const std::optional<bool> button : {std::optional{true}, std::optional<bool>{}}) {
    HornBench bench;
    bench.button = button;
    bench.scan();
    bench.scan(State::unacknowledged);
    for (int scan = 0; scan < 100; ++scan)
      CHECK(bench.scan());
  }
}

TEST_CASE("annunciator: a button does nothing where none is declared", "[alarm][horn]") {
  HornBench bench;
  bench.rules.silence_switch.reset();
  bench.scan();
  bench.scan(State::unacknowledged);
  bench.button = true;
  CHECK(bench.scan());
  CHECK(bench.scan());
}

TEST_CASE("annunciator: a contact that does not follow is told once, and again after it was well",
          "[alarm][horn]") {
  HornBench bench = sounding();
  bench.obeys = false;
  int told = 0;
  const auto count = [&](int scans) {
    for (int scan = 0; scan < scans; ++scan) {
      bench.scan();
      told += bench.told(Told::contact_unreachable) ? 1 : 0;
    }
  };
  SECTION("when it cannot be read") {
    bench.contact.reset();
  }
  SECTION("when it stays off") {
    bench.contact = false;
  }
  count(3);
  CHECK(told == 0);
  count(20);
  CHECK(told == 1);
  bench.contact = true;
  count(5);
  bench.contact = false;
  count(20);
  CHECK(told == 2);
}

TEST_CASE("annunciator: which priorities it sounds for", "[alarm][horn]") {
  const HornBench bench;
  CHECK(sounds_for(bench.rules, Priority::high));
  CHECK(sounds_for(bench.rules, Priority::medium));
  CHECK_FALSE(sounds_for(bench.rules, Priority::low));
}

TEST_CASE("annunciator: in any history it sounds for nothing but an alarm that calls, or a test",
          "[alarm][horn][property]") {
  const auto seed = support::seed_or(20261125);
  INFO("seed " << seed);
  Dice dice{seed};
  constexpr std::array kStates{State::normal,
                               State::unacknowledged,
                               State::acknowledged,
                               State::returned_unacknowledged,
                               State::latched_unacknowledged,
                               State::latched_acknowledged};
  HornBench bench;
  std::optional<Instant> tested;
  int sounded = 0;
  for (int scan = 0; scan < 20000; ++scan) {
    if (dice.one_in(4))
      bench.alarms.at(static_cast<std::size_t>(dice.roll(2))) =
          kStates.at(static_cast<std::size_t>(dice.roll(6)));
    if (dice.one_in(5)) bench.button = dice.one_in(3) ? std::nullopt : std::optional{dice.one_in(2)};
    if (dice.one_in(50)) silence(bench.memory, bench.now);
    if (dice.one_in(50)) bench.restart();
    if (dice.one_in(50)) test(bench.memory, *(tested = bench.now));
    const bool sounds = bench.scan(std::chrono::milliseconds{1 + dice.roll(2000)});
    const auto calls = [](State state) {
      return state == State::unacknowledged || state == State::acknowledged ||
             state == State::latched_unacknowledged;
    };
    const bool called = calls(bench.alarms[0]) || calls(bench.alarms[1]);
    const bool in_test = tested && bench.now - *tested < kHornTest;
    REQUIRE((called || in_test || !sounds));
    sounded += sounds ? 1 : 0;
  }
  CHECK(sounded > 1000);
  CHECK(sounded < 19000);
}
