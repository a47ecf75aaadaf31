// The figures of the alarms against the published measures (tests/reference/09_alarm_practice.csv), and
// against counting by hand.

#include "stillwell/alarm/figures.hpp"

#include <algorithm>
#include <stdexcept>
#include <string>

#include "support/bench_csv.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Instant kNow{100h};

/// The value of one published row.
std::string published(const std::string& section, const std::string& item) {
  const support::Csv table{"09_alarm_practice.csv"};
  for (std::size_t row = 0; row < table.size(); ++row) {
    if (table.at(row, "section") == section && table.at(row, "item") == item) return table.at(row, "value");
  }
  throw std::runtime_error("no row is named " + item);
}

/// "> 10 alarms in 10 min": the number after the sign, and the sign.
std::size_t number_after(const std::string& text, const std::string& sign) {
  const auto at = text.find(sign);
  if (at == std::string::npos) throw std::runtime_error("'" + text + "' does not say " + sign);
  return std::stoul(text.substr(at + sign.size()));
}

struct Site {
  std::vector<Alarm> alarms;
  std::vector<AlarmMemory> memories;

  AlarmMemory& add(const std::string& id) {
    alarms.emplace_back().id = id;
    return memories.emplace_back();
  }
  [[nodiscard]] AlarmFigures figures(bool flood = false) const {
    return alarm_figures(alarms, memories, flood, kNow);
  }
};

void stand(AlarmMemory& memory, Instant since) {
  memory.active = true;
  memory.state = AlarmState::unacknowledged;
  memory.began = since;
  memory.since = since;
}

}  // namespace

TEST_CASE("alarm figures: a flood begins and ends at the published rates", "[alarm][figures][published]") {
  const std::size_t begins = number_after(published("performance metric: ISA-18.2", "flood begins"), "> ");
  const std::size_t ends = number_after(published("performance metric: ISA-18.2", "flood ends"), "< ");
  REQUIRE(ends < begins);
  for (std::size_t rises = 0; rises <= 2 * begins; ++rises) {
    INFO(rises << " rises in ten minutes");
    CHECK(is_flood(false, rises) == (rises > begins));
    CHECK(is_flood(true, rises) == !(rises < ends));
  }
}

TEST_CASE("alarm figures: over-demanding is more than the published average over a day",
          "[alarm][figures][published]") {
  const std::string average = published("rate: EEMUA 191", "long-term average in steady operation");
  REQUIRE(average == "<= 1 per 10 min");
  constexpr std::size_t kTenMinutesADay = 24 * 6;
  for (const std::size_t more : {0U, 1U}) {
    Site site;
    site.add("header/low").raised.assign(100, kNow - 1h);
    site.add("header/high").raised.assign(kTenMinutesADay - 100 + more, kNow - 2h);
    CHECK(site.figures().last_day == kTenMinutesADay + more);
    CHECK(site.figures().is_over_demanding() == (more > 0));
  }
  // One alarm that chatters all day shows it alone.
  CHECK(kMostRaised > kTenMinutesADay);
}

TEST_CASE("alarm figures: of a site where nothing happened", "[alarm][figures]") {
  Site site;
  site.add("header/low");
  const AlarmFigures figures = site.figures();
  CHECK(figures.last_day == 0);
  CHECK(figures.last_ten_minutes == 0);
  CHECK(figures.standing == 0);
  CHECK_FALSE(figures.longest_standing);
  CHECK_FALSE(figures.most_frequent);
  CHECK_FALSE(figures.flood);
  CHECK(site.figures(true).flood);
  CHECK_FALSE(first_of_flood(site.memories, kNow));
}

TEST_CASE("alarm figures: rises count for a day and for ten minutes, and not a moment longer",
          "[alarm][figures]") {
  Site site;
  site.add("header/low").raised = {kNow - 24h, kNow - 24h + 1ms, kNow - 10min, kNow - 10min + 1ms, kNow};
  const AlarmFigures figures = site.figures();
  CHECK(figures.last_day == 4);
  CHECK(figures.last_ten_minutes == 2);
}

TEST_CASE("alarm figures: the longest standing and the most frequent are named", "[alarm][figures]") {
  Site site;
  stand(site.add("header/low"), kNow - 2h);
  site.memories.back().raised = {kNow - 2h};
  stand(site.add("cistern/low"), kNow - 5h);
  site.memories.back().raised = {kNow - 5h, kNow - 1h, kNow - 3min};
  site.add("sump/high").raised = {kNow - 7min, kNow - 6min, kNow - 5min};
  const AlarmFigures figures = site.figures();
  CHECK(figures.standing == 2);
  REQUIRE(figures.longest_standing);
  CHECK(figures.longest_standing->id == "cistern/low");
  CHECK(figures.longest_standing->since == kNow - 5h);
  REQUIRE(figures.most_frequent);
  CHECK(figures.most_frequent->id == "cistern/low");  // of equals the first
  CHECK(figures.most_frequent->count == 3);
  CHECK(first_of_flood(site.memories, kNow) == 2U);
}

TEST_CASE("alarm figures: one that is put aside or has returned does not stand", "[alarm][figures]") {
  for (const AlarmState state : {AlarmState::shelved, AlarmState::suppressed, AlarmState::out_of_service}) {
    Site site;
    stand(site.add("header/low"), kNow - 2h);
    site.memories.back().state = state;
    CHECK(site.figures().standing == 0);
    CHECK_FALSE(site.figures().longest_standing);
  }
  Site site;
  site.add("header/low").state = AlarmState::latched_unacknowledged;
  CHECK(site.figures().standing == 0);
  // An acknowledged one still does. Without a clock over a restart its last change is all that is known.
  stand(site.add("cistern/low"), kNow - 3h);
  site.memories.back().state = AlarmState::acknowledged;
  site.memories.back().began.reset();
  REQUIRE(site.figures().longest_standing);
  CHECK(site.figures().longest_standing->since == kNow - 3h);
}

TEST_CASE("alarm figures: whatever rose when, they are what counting one by one gives",
          "[alarm][figures][property]") {
  const auto seed = support::seed_or(20261125);
  INFO("seed " << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 300; ++round) {
    Site site;
    std::size_t day = 0;
    std::size_t minutes = 0;
    std::optional<Instant> earliest;
    const int count = dice.roll(6);
    for (int alarm = 0; alarm < count; ++alarm) {
      auto& raised = site.add("alarm" + std::to_string(alarm)).raised;
      for (int rise = dice.roll(30); rise > 0; --rise)
        raised.push_back(kNow - std::chrono::minutes{dice.roll(dice.roll(2) == 0 ? 20 : 3000)});
      std::sort(raised.begin(), raised.end());
      for (const Instant at : raised) {
        day += kNow - at < 24h ? 1 : 0;
        if (kNow - at >= 10min) continue;
        ++minutes;
        earliest = earliest ? std::min(*earliest, at) : at;
      }
    }
    REQUIRE(site.figures().last_day == day);
    REQUIRE(site.figures().last_ten_minutes == minutes);
    REQUIRE(raised_within(site.memories, kFloodTime, kNow) == minutes);
    const auto first = first_of_flood(site.memories, kNow);
    REQUIRE(first.has_value() == earliest.has_value());
    if (!first) continue;
    const auto& raised = site.memories[*first].raised;
    REQUIRE(std::find(raised.begin(), raised.end(), *earliest) != raised.end());
  }
}
