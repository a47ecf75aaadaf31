// The alarm walks the published state diagram (tests/reference/09_alarm_states.csv: ANSI/ISA-18.2 and
// IEC 62682, both variants), every row of it from each state that the row names, from the file itself.

#include "stillwell/alarm/alarm.hpp"

#include <array>
#include <chrono>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "support/bench_alarm.hpp"
#include "support/bench_csv.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::AlarmBench;

namespace {

using Letters = std::map<std::string, AlarmState>;

const std::map<std::string, AlarmState> kStates{
    {"normal", AlarmState::normal},
    {"unacknowledged", AlarmState::unacknowledged},
    {"acknowledged", AlarmState::acknowledged},
    {"returned to normal, unacknowledged", AlarmState::returned_unacknowledged},
    {"latched, unacknowledged", AlarmState::latched_unacknowledged},
    {"latched, acknowledged", AlarmState::latched_acknowledged},
    {"shelved", AlarmState::shelved},
    {"suppressed by design", AlarmState::suppressed},
    {"out of service", AlarmState::out_of_service},
};
constexpr std::array kVariants{"not latched", "latched variant"};
constexpr auto kAgain = 30min;

struct Row {
  std::size_t at = 0;
  std::string from, to, event, note;
};

std::vector<Row> rows_of(const support::Csv& table, const std::string& variant, const std::string& kind) {
  std::vector<Row> rows;
  for (std::size_t at = 0; at < table.size(); ++at) {
    if (table.at(at, "variant") == variant && table.at(at, "row_kind") == kind)
      rows.push_back({at, table.at(at, "from_state"), table.at(at, "to_state"), table.at(at, "name_or_event"),
                      table.at(at, "note")});
  }
  return rows;
}

/// The letters of one variant, by its own state rows.
Letters letters_of(const support::Csv& table, const std::string& variant) {
  Letters letters;
  for (const Row& row : rows_of(table, variant, "state"))
    letters.emplace(row.from, kStates.at(row.event));
  return letters;
}

std::vector<AlarmState> states_of(const std::string& list, const Letters& letters) {
  std::vector<AlarmState> states;
  for (const char letter : list)
    if (letter != '|') states.push_back(letters.at(std::string(1, letter)));
  return states;
}

bool is_latched(AlarmState state) {
  return state == AlarmState::latched_unacknowledged || state == AlarmState::latched_acknowledged;
}

/// Puts aside, by the means that belongs to that state.
void put(AlarmBench& bench, AlarmState aside) {
  if (aside == AlarmState::shelved) {
    bench.shelve();
    return;
  }
  bench.aside.suppressed = aside == AlarmState::suppressed;
  bench.aside.out_of_service = aside == AlarmState::out_of_service;
  bench.scan(bench.memory.active ? 0.30 : 0.80);
}

/// Brings a fresh alarm into a state, by acts alone.
AlarmBench in_state(AlarmState state, bool latch) {
  AlarmBench bench{latch};
  bench.rules.again_after = kAgain;
  if (is_aside(state)) {
    put(bench, state);
    return bench;
  }
  if (state == AlarmState::normal) return bench;
  bench.abnormal();
  if (state == AlarmState::unacknowledged) return bench;
  if (state == AlarmState::acknowledged || state == AlarmState::latched_acknowledged) bench.acknowledge();
  if (state == AlarmState::acknowledged) return bench;
  bench.normal();
  if (latch && state == AlarmState::returned_unacknowledged) bench.reset();
  return bench;
}

/// What the row says happens, to an alarm in the row's state.
void act(AlarmBench& bench, const Row& row) {
  const std::map<std::string, AlarmState> puts{{"shelve", AlarmState::shelved},
                                               {"designed suppression begins", AlarmState::suppressed},
                                               {"remove from service", AlarmState::out_of_service}};
  if (const auto aside = puts.find(row.event); aside != puts.end()) return put(bench, aside->second);
  if (row.event == "operator acknowledges") {
    CHECK(bench.acknowledge());
  } else if (row.event == "operator resets") {
    CHECK(bench.reset());
  } else if (row.event == "re-alarm" && bench.state() == AlarmState::acknowledged) {
    CHECK_FALSE(bench.scan(0.30, kAgain - 1ns));
    CHECK(bench.scan(0.30, 1ns));
  } else if (row.event == "alarm occurs" || row.event == "re-alarm") {
    CHECK(bench.abnormal());
  } else if (row.event.starts_with("returns to normal")) {
    CHECK(bench.normal());
  } else {
    FAIL("nobody knows how to bring about '" << row.event << "'");
  }
}

/// The latched variant draws the latched alarm and the unlatched one beside it, and says where they part.
bool concerns(const Row& row, bool latch) {
  if (row.note == "unlatched alarm") return !latch;
  return latch || row.event != "returns to normal (latched alarm)";
}

void walk_row(const Row& row, const Letters& letters, bool latch) {
  for (const AlarmState from : states_of(row.from, letters)) {
    if (is_latched(from) && !latch) continue;
    INFO(row.from << " -> " << row.to << ", " << row.event << ", from " << to_word(from)
                  << (latch ? ", latched" : ""));
    AlarmBench bench = in_state(from, latch);
    REQUIRE(bench.state() == from);
    act(bench, row);
    CHECK(bench.state() == letters.at(row.to));
  }
}

/// How an alarm that is aside comes back.
enum class By { person, time };

void bring_back(AlarmBench& bench, AlarmState aside, bool abnormal, By how) {
  const double level = abnormal ? 0.30 : 0.80;
  if (aside == AlarmState::shelved && how == By::person) {
    bench.scan(level);
    CHECK(bench.unshelve());
    return;
  }
  bench.aside = {};
  bench.scan(level, aside == AlarmState::shelved ? bench.memory.shelf->until - bench.now : Duration{1s});
}

/// From `origin` aside, through whatever the process does meanwhile, and back.
AlarmState there_and_back(AlarmState origin, AlarmState aside, bool latch, bool abnormal, By how) {
  AlarmBench bench = in_state(origin, latch);
  REQUIRE(bench.state() == origin);
  put(bench, aside);
  REQUIRE(bench.state() == aside);
  CHECK_FALSE(bench.scan(bench.memory.active ? 0.30 : 0.80));
  bring_back(bench, aside, abnormal, how);
  CHECK_FALSE(bench.memory.shelf.has_value());
  return bench.state();
}

/// Whether an alarm that comes from there is latched and not reset; then the row does not speak of it
/// (next test).
bool is_unreset(AlarmState origin, bool latch) {
  return latch && origin != AlarmState::normal && origin != AlarmState::returned_unacknowledged;
}

constexpr std::array kOrigins{AlarmState::normal,
                              AlarmState::unacknowledged,
                              AlarmState::acknowledged,
                              AlarmState::returned_unacknowledged,
                              AlarmState::latched_unacknowledged,
                              AlarmState::latched_acknowledged};

void walk_back(const Row& row, const Letters& letters, bool latch) {
  REQUIRE(row.note == "to B if the process is abnormal at that moment, else A");
  for (const AlarmState origin : kOrigins) {
    if (is_latched(origin) && !latch) continue;
    for (const By how : {By::person, By::time}) {
      INFO(row.from << " -> " << row.to << ", " << row.event << ", put aside from " << to_word(origin)
                    << (latch ? ", latched" : ""));
      const AlarmState aside = letters.at(row.from);
      CHECK(there_and_back(origin, aside, latch, true, how) == letters.at("B"));
      if (!is_unreset(origin, latch))
        CHECK(there_and_back(origin, aside, latch, false, how) == letters.at("A"));
    }
  }
}

bool is_row_back(const Row& row) {
  return row.to == "A or B";
}

std::size_t walk_all(const support::Csv& table, const std::string& variant) {
  const Letters letters = letters_of(table, variant);
  std::size_t walked = 0;
  for (const Row& row : rows_of(table, variant, "transition")) {
    bool concerned = false;
    for (const bool latch : {false, true}) {
      if ((latch && variant == "not latched") || !concerns(row, latch)) continue;
      is_row_back(row) ? walk_back(row, letters, latch) : walk_row(row, letters, latch);
      concerned = true;
    }
    if (concerned) ++walked;
  }
  return walked;
}

}  // namespace

TEST_CASE("alarm: every published transition of both diagrams, from each of its states",
          "[alarm][published]") {
  const support::Csv table{"09_alarm_states.csv"};
  std::size_t states = 0;
  std::size_t walked = 0;
  for (const std::string variant : kVariants) {
    states += letters_of(table, variant).size();
    walked += walk_all(table, variant);
  }
  CHECK(states == 7 + 9);
  CHECK(walked == 13 + 18);
  CHECK(states + walked == table.size());  // no row of the file is passed over
}

TEST_CASE("alarm: a latched one that nobody reset counts as abnormal when it is brought back",
          "[alarm][published][latch]") {
  // Our reading. By the published row it would be normal, and putting it aside would be a way to end it.
  for (const AlarmState aside : {AlarmState::shelved, AlarmState::suppressed, AlarmState::out_of_service}) {
    for (const AlarmState origin : kOrigins) {
      if (!is_unreset(origin, true)) continue;
      for (const By how : {By::person, By::time}) {
        INFO("from " << to_word(origin) << ", " << to_word(aside));
        CHECK(there_and_back(origin, aside, true, false, how) == AlarmState::latched_unacknowledged);
      }
    }
  }
}

TEST_CASE("alarm: a latched one that rose and returned while it was aside is latched when it is brought back",
          "[alarm][published][latch]") {
  for (const AlarmState aside : {AlarmState::shelved, AlarmState::suppressed, AlarmState::out_of_service}) {
    AlarmBench bench = in_state(aside, true);
    CHECK_FALSE(bench.abnormal());
    CHECK_FALSE(bench.normal());
    bring_back(bench, aside, false, By::person);
    CHECK(bench.state() == AlarmState::latched_unacknowledged);
  }
}

namespace {

/// What the columns of a state row say, asked of an alarm that is in it.
void check_state(const support::Csv& table, const Row& row, bool latch) {
  const std::string& process = table.at(row.at, "process");
  const std::string& alarm = table.at(row.at, "alarm");
  const AlarmState state = kStates.at(row.event);
  INFO(row.event << (latch ? ", latched" : ""));
  AlarmBench bench = in_state(state, latch);
  REQUIRE(bench.state() == state);
  CHECK(is_aside(state) == (alarm == "not annunciated"));
  if (process == "either") {
    for (const bool abnormal : {true, false, true}) {
      CHECK_FALSE((abnormal ? bench.abnormal() : bench.normal()));
      CHECK(bench.memory.active == abnormal);
      CHECK(bench.state() == state);
    }
  } else {
    CHECK(bench.memory.active == (process == "abnormal"));
  }
  // An alarm is active while its process is abnormal, or while a reset is asked of a person.
  AlarmBench other = bench;
  if (!is_aside(state))
    CHECK((alarm == "active") == ((process == "abnormal") || (latch && other.reset() && is_latched(state))));
  CHECK((table.at(row.at, "acknowledgement") == "unacknowledged") == bench.acknowledge());
}

}  // namespace

TEST_CASE("alarm: each state is what the columns of its row say", "[alarm][published]") {
  const support::Csv table{"09_alarm_states.csv"};
  for (const std::string variant : kVariants) {
    for (const Row& row : rows_of(table, variant, "state")) {
      for (const bool latch : {false, true}) {
        const bool can_be = latch ? variant == "latched variant" : !is_latched(kStates.at(row.event));
        if (can_be) check_state(table, row, latch);
      }
    }
  }
}

TEST_CASE("alarm: one that was acknowledged and returned is not announced again", "[alarm][published]") {
  AlarmBench bench;
  bench.rules.again_after = kAgain;
  bench.abnormal();
  bench.acknowledge();
  bench.normal();
  CHECK_FALSE(bench.scan(0.80, 2 * kAgain));
  CHECK(bench.state() == AlarmState::normal);
  CHECK(bench.memory.raised_count == 1);
}
