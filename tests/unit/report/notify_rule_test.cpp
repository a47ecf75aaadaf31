// Which events are told, how often, and what becomes of the others; in virtual time.
#include "stillwell/report/notify_rule.hpp"

#include <chrono>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;
using News = NotifyRule::News;

namespace {

Entry risen(std::uint64_t seq, Priority priority = Priority::high,
            AlarmState state = AlarmState::unacknowledged) {
  return {support::some_stamp() + std::chrono::seconds{seq},
          seq,
          {EventKind::alarm, "header/low", std::string(to_word(state)), "Low.", {}, priority}};
}

Entry pump_event(EventKind kind, std::optional<Priority> priority = {}) {
  return {support::some_stamp(), 1, {kind, "lift", "over-time", "Lift pump.", {}, priority}};
}

/// The rule with a clock of its own, and a program that does what the test says.
struct Bench {
  explicit Bench(std::size_t at_most, std::vector<Priority> priorities = {Priority::high})
      : rule{"orchard", {.run = {"/bin/tell"}, .priorities = std::move(priorities), .at_most = at_most}} {}

  NotifyRule rule;
  NotifyRule::Time now{std::chrono::hours{100}};

  void put(const Entry& entry) { rule.put(entry, now); }
  std::optional<std::string> next() { return rule.next(now); }
  News ended(bool well) { return rule.ended(well, now); }
  /// Told at once, and well.
  bool tells(const Entry& entry) {
    put(entry);
    const auto input = next();
    if (input) ended(true);
    return input.has_value();
  }
};

/// The count in the last line; nothing when it is no count.
std::optional<int> count_in(const std::optional<std::string>& input) {
  if (!input) return {};
  const auto begin = input->rfind('\n', input->size() - 2);
  const auto line = nlohmann::json::parse(input->substr(begin == std::string::npos ? 0 : begin + 1));
  if (line["cause"] != "held-back") return {};
  CHECK(line["kind"] == "service");
  CHECK(line["of"] == "orchard");
  return line["count"].get<int>();
}

}  // namespace

TEST_CASE("notify rule: an alarm that rises and a lock-out are told, as the journal has them",
          "[report][notify]") {
  Bench bench{10};
  bench.put(risen(7));
  CHECK(bench.next() == to_line(risen(7)) + "\n");
  CHECK(bench.ended(true) == News::none);
  CHECK(bench.next() == std::nullopt);
  CHECK(bench.rule.due() == std::nullopt);
  CHECK(bench.tells(pump_event(EventKind::lockout, Priority::high)));
}

TEST_CASE("notify rule: nothing else is told", "[report][notify]") {
  Bench bench{10};
  for (const AlarmState state :
       {AlarmState::normal, AlarmState::acknowledged, AlarmState::returned_unacknowledged,
        AlarmState::latched_unacknowledged, AlarmState::latched_acknowledged, AlarmState::shelved,
        AlarmState::suppressed, AlarmState::out_of_service})
    CHECK_FALSE(bench.tells(risen(1, Priority::high, state)));
  for (const EventKind kind : {EventKind::trip, EventKind::start, EventKind::stop, EventKind::command,
                               EventKind::quality, EventKind::service})
    CHECK_FALSE(bench.tells(pump_event(kind, Priority::high)));
  CHECK_FALSE(bench.tells(pump_event(EventKind::lockout)));  // nobody said how urgent it is
}

TEST_CASE("notify rule: only the priorities asked for are told", "[report][notify]") {
  for (const auto& wanted : {std::vector{Priority::high}, std::vector{Priority::medium, Priority::low},
                             std::vector{Priority::low, Priority::medium, Priority::high}}) {
    Bench bench{10, wanted};
    for (const Priority one : {Priority::low, Priority::medium, Priority::high})
      CHECK(bench.tells(risen(1, one)) == (std::ranges::find(wanted, one) != wanted.end()));
  }
}

TEST_CASE("notify rule: a lock-out is told once, although it is an event and raises an alarm",
          "[report][notify]") {
  const auto locked_out = [](Priority priority) {
    Entry entry = risen(2, priority);
    entry.event.of = "lift/locked-out";
    return entry;
  };
  Bench both{10, {Priority::high, Priority::medium}};
  CHECK(both.tells(pump_event(EventKind::lockout, Priority::high)));
  CHECK_FALSE(both.tells(locked_out(Priority::high)));
  CHECK_FALSE(both.tells(locked_out(Priority::medium)));
  Bench medium{10, {Priority::medium}};  // the event is not wanted, the alarm is
  CHECK_FALSE(medium.tells(pump_event(EventKind::lockout, Priority::high)));
  CHECK(medium.tells(locked_out(Priority::medium)));
}

TEST_CASE("notify rule: never more calls than at_most in any hour", "[report][notify]") {
  for (const auto between : {1s, 61s, 300s, 1000s}) {
    Bench bench{10};
    std::deque<NotifyRule::Time> calls;
    std::size_t most = 0;
    for (std::uint64_t i = 1; i <= 500; ++i, bench.now += between) {
      if (bench.tells(risen(i))) calls.push_back(bench.now);
      while (!calls.empty() && bench.now - calls.front() >= 1h)
        calls.pop_front();
      most = std::max(most, calls.size());
    }
    INFO(between.count() << " s between two alarms");
    CHECK(most == std::min<std::size_t>(
                      10, static_cast<std::size_t>((3600 + between.count() - 1) / between.count())));
  }
}

TEST_CASE("notify rule: the next call tells how many were held back, after its own line",
          "[report][notify]") {
  Bench bench{2};
  CHECK(bench.tells(risen(1)));
  bench.now += 30min;
  CHECK(bench.tells(risen(2)));
  for (std::uint64_t seq = 3; seq <= 9; ++seq)
    CHECK_FALSE(bench.tells(risen(seq)));
  bench.now += 29min;
  CHECK(bench.next() == std::nullopt);
  bench.now += 1min;  // the first token is back
  bench.put(risen(10));
  const auto input = bench.next();
  REQUIRE(input);
  CHECK(input->starts_with(to_line(risen(10)) + "\n"));
  CHECK(count_in(input) == 7);
  CHECK(bench.ended(true) == News::none);
  bench.now += 2h;
  CHECK(bench.next() == std::nullopt);  // told once
}

TEST_CASE("notify rule: when no call comes the count is told an hour later by itself", "[report][notify]") {
  Bench bench{1};
  CHECK(bench.tells(risen(1)));
  bench.now += 20min;
  CHECK_FALSE(bench.tells(risen(2)));
  const auto due = bench.rule.due();
  REQUIRE(due);
  CHECK(*due == bench.now + 1h);
  bench.now = *due - 1ns;
  CHECK(bench.next() == std::nullopt);
  bench.now = *due;
  const auto input = bench.next();
  REQUIRE(input);
  CHECK(std::count(input->begin(), input->end(), '\n') == 1);
  CHECK(count_in(input) == 1);
  CHECK(bench.ended(true) == News::none);
  CHECK_FALSE(bench.tells(risen(3)));  // it took the token
}

TEST_CASE("notify rule: a call that fails is tried once more after a minute, with the same line",
          "[report][notify]") {
  Bench bench{1};
  bench.put(risen(1));
  const auto input = bench.next();
  REQUIRE(input);
  CHECK(bench.ended(false) == News::trying_again);
  CHECK(bench.next() == std::nullopt);
  CHECK(bench.rule.due() == bench.now + 1min);
  bench.now += 1min;
  CHECK(bench.next() == input);  // at_most of one is no reason against the second try
  CHECK(bench.ended(true) == News::none);
  CHECK(bench.next() == std::nullopt);
}

TEST_CASE("notify rule: an outage is news once, its end is news once, and what it cost is told",
          "[report][notify]") {
  Bench bench{60};
  for (std::uint64_t seq = 1; seq <= 3; ++seq) {
    bench.put(risen(seq));
    REQUIRE(bench.next());
    CHECK(bench.ended(false) == News::trying_again);
    bench.now += 1min;
    REQUIRE(bench.next());
    CHECK(bench.ended(false) == (seq == 1 ? News::failing : News::none));
  }
  bench.put(risen(4));
  CHECK(count_in(bench.next()) == 3);
  CHECK(bench.ended(true) == News::well_again);
  CHECK(bench.tells(risen(5)));
  bench.now += 2h;
  CHECK(bench.next() == std::nullopt);
}

TEST_CASE("notify rule: when too many wait the newest are counted, not the oldest lost", "[report][notify]") {
  Bench bench{200};
  for (std::uint64_t seq = 1; seq <= NotifyRule::kWaiting + 6; ++seq)
    bench.put(risen(seq));
  CHECK(bench.rule.take_crowded_out() == 6);
  CHECK(bench.rule.take_crowded_out() == 0);
  const auto input = bench.next();
  REQUIRE(input);
  CHECK(input->starts_with(to_line(risen(1))));
  CHECK(count_in(input) == 6);
  CHECK(bench.rule.waiting() == NotifyRule::kWaiting);  // with the one that is being told
  std::size_t told = 0;
  do {
    ++told;
    bench.ended(true);
  } while (bench.next());
  CHECK(told == NotifyRule::kWaiting);
}
