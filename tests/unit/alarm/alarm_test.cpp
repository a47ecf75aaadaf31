// Set point, deadband, delay, latch, and what a bad value does: nothing. The gauge's own alarm speaks then.

#include "stillwell/alarm/alarm.hpp"

#include <chrono>
#include <string>

#include "support/bench_alarm.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::AlarmBench;

namespace {

Level level_at(double metres) {
  return {.level = Metres{metres}, .quality = Quality::good, .reason = Reason::none};
}

AlarmBench high_bench() {
  AlarmBench bench;
  bench.rules.kind = AlarmKind::high;
  bench.rules.at = Metres{2.0};
  bench.rules.clears_at = Metres{1.9};
  return bench;
}

}  // namespace

TEST_CASE("alarm: a low alarm rises below its set point and clears past the deadband", "[alarm][deadband]") {
  for (const AlarmKind kind : {AlarmKind::low, AlarmKind::low_low}) {
    AlarmBench bench;
    bench.rules.kind = kind;
    CHECK_FALSE(bench.scan(0.401));
    CHECK(bench.scan(0.399));
    CHECK(bench.state() == AlarmState::unacknowledged);
    CHECK_FALSE(bench.scan(0.45));  // inside the deadband the last verdict stands
    CHECK_FALSE(bench.scan(0.499));
    CHECK(bench.scan(0.501));
    CHECK(bench.state() == AlarmState::returned_unacknowledged);
    CHECK_FALSE(bench.scan(0.45));  // and from the other side as well
  }
}

TEST_CASE("alarm: a high alarm rises above its set point and clears past the deadband", "[alarm][deadband]") {
  for (const AlarmKind kind : {AlarmKind::high, AlarmKind::high_high}) {
    AlarmBench bench = high_bench();
    bench.rules.kind = kind;
    CHECK_FALSE(bench.scan(1.999));
    CHECK(bench.scan(2.001));
    CHECK_FALSE(bench.scan(1.95));
    CHECK(bench.scan(1.899));
    CHECK_FALSE(bench.scan(1.95));
  }
}

TEST_CASE("alarm: of a leak a level says nothing, and what nights say goes through the same states",
          "[alarm][leak]") {
  AlarmBench bench;
  bench.rules.kind = AlarmKind::leak;
  for (const double metres : {0.0, 0.3, 3.0})
    CHECK_FALSE(bench.scan(metres));
  CHECK_FALSE(bench.blind());
  const auto night = [&bench](std::optional<bool> leaks) {
    return follow(bench.memory, bench.rules, leaks, {}, bench.now += 24h);
  };
  CHECK_FALSE(night(false));
  CHECK(night(true));
  CHECK(bench.state() == AlarmState::unacknowledged);
  CHECK_FALSE(night({}));
  CHECK_FALSE(night(true));
  CHECK(bench.acknowledge());
  CHECK_FALSE(night({}));
  CHECK(bench.state() == AlarmState::acknowledged);
  CHECK(night(false));
  CHECK(bench.state() == AlarmState::normal);
}

TEST_CASE("alarm: it rises after its delay, once", "[alarm][delay]") {
  AlarmBench bench;
  bench.rules.after = 60s;
  CHECK_FALSE(bench.scan(0.30));
  CHECK_FALSE(bench.scan(0.30, 60s - 1ns));
  CHECK(bench.scan(0.30, 1ns));
  for (int i = 0; i < 100; ++i)
    CHECK_FALSE(bench.scan(0.30));
  CHECK(bench.state() == AlarmState::unacknowledged);
}

TEST_CASE("alarm: a wave that flaps across the set point does not dodge the delay", "[alarm][delay]") {
  AlarmBench bench;
  bench.rules.after = 60s;
  for (int i = 0; i < 60; ++i) {
    bench.scan(0.39, 2s);
    bench.scan(0.41, 2s);
  }
  CHECK(bench.state() == AlarmState::unacknowledged);
}

TEST_CASE("alarm: after it cleared the whole delay is asked for again", "[alarm][delay]") {
  AlarmBench bench;
  bench.rules.after = 10s;
  bench.scan(0.30);
  CHECK(bench.scan(0.30, 10s));
  CHECK(bench.scan(0.60));
  CHECK_FALSE(bench.scan(0.30));
  CHECK_FALSE(bench.scan(0.30, 9s));
  CHECK(bench.scan(0.30, 1s));
}

TEST_CASE("alarm: a bad value neither raises nor clears", "[alarm][bad]") {
  AlarmBench bench;
  bench.rules.after = 10s;
  bench.scan(0.30);
  CHECK_FALSE(bench.blind(1h));  // the time that nobody saw is not counted
  CHECK_FALSE(bench.scan(0.30));
  CHECK_FALSE(bench.scan(0.30, 9s));
  CHECK(bench.scan(0.30, 1s));
  CHECK_FALSE(bench.blind(1h));
  CHECK(bench.state() == AlarmState::unacknowledged);
}

TEST_CASE("alarm: a value that is no number neither raises nor clears", "[alarm][bad]") {
  for (AlarmBench bench : {AlarmBench{}, high_bench()}) {
    const double standing = bench.rules.kind == AlarmKind::low ? 0.3 : 2.1;
    CHECK_FALSE(bench.scan(std::nan("")));
    CHECK(bench.state() == AlarmState::normal);
    bench.scan(standing);
    CHECK_FALSE(bench.scan(std::nan("")));
    CHECK(bench.state() == AlarmState::unacknowledged);
  }
}

TEST_CASE("alarm: unwell speaks when the gauge has been bad for its delay", "[alarm][unwell]") {
  AlarmBench bench;
  bench.rules.kind = AlarmKind::unwell;
  bench.rules.after = 60s;
  CHECK_FALSE(bench.blind());
  CHECK_FALSE(bench.blind(59s));
  CHECK(bench.blind(1s));
  CHECK(bench.scan(1.0));
  CHECK(bench.state() == AlarmState::returned_unacknowledged);
}

TEST_CASE("alarm: an uncertain value is a value", "[alarm][unwell]") {
  AlarmBench bench;
  bench.rules.kind = AlarmKind::unwell;
  Level uncertain = level_at(0.3);
  uncertain.quality = Quality::uncertain;
  CHECK_FALSE(bench.scan(uncertain));
  AlarmBench low;
  CHECK(low.scan(uncertain));
}

TEST_CASE("alarm: a latched one stays until a person reset it after its return", "[alarm][latch]") {
  AlarmBench bench{true};
  bench.abnormal();
  CHECK_FALSE(bench.reset());  // it still stands
  CHECK(bench.state() == AlarmState::unacknowledged);
  bench.acknowledge();
  CHECK_FALSE(bench.reset());
  bench.normal();
  CHECK(bench.state() == AlarmState::latched_acknowledged);
  for (int i = 0; i < 10; ++i)
    bench.normal();
  CHECK(bench.state() == AlarmState::latched_acknowledged);
  CHECK(bench.reset());
  CHECK(bench.state() == AlarmState::normal);
}

TEST_CASE("alarm: a latched one that comes back is a new alarm", "[alarm][latch]") {
  for (const bool acknowledged : {false, true}) {
    AlarmBench bench{true};
    bench.abnormal();
    if (acknowledged) bench.acknowledge();
    bench.normal();
    CHECK(bench.abnormal());
    CHECK(bench.state() == AlarmState::unacknowledged);
  }
}

TEST_CASE("alarm: there is nothing to acknowledge twice", "[alarm][people]") {
  AlarmBench bench;
  CHECK_FALSE(bench.acknowledge());
  bench.abnormal();
  CHECK(bench.acknowledge());
  CHECK_FALSE(bench.acknowledge());
  CHECK_FALSE(bench.reset());
}

TEST_CASE("alarm: the time of each change is kept", "[alarm][since]") {
  AlarmBench bench;
  CHECK_FALSE(bench.memory.since.has_value());
  bench.abnormal();
  const Instant rose = bench.now;
  bench.abnormal();
  CHECK(bench.memory.since == rose);
  bench.acknowledge();
  CHECK(bench.memory.since == bench.now);
}

TEST_CASE("words: alarm states are named as published", "[alarm][words]") {
  CHECK(to_word(AlarmState::normal) == "normal");
  CHECK(to_word(AlarmState::unacknowledged) == "unacknowledged");
  CHECK(to_word(AlarmState::acknowledged) == "acknowledged");
  CHECK(to_word(AlarmState::returned_unacknowledged) == "returned-unacknowledged");
  CHECK(to_word(AlarmState::latched_unacknowledged) == "latched-unacknowledged");
  CHECK(to_word(AlarmState::latched_acknowledged) == "latched-acknowledged");
}
