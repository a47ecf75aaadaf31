#include "stillwell/field/schedule.hpp"

#include <functional>
#include <map>

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;

namespace {

constexpr Instant kStart{100s};
constexpr Duration kAnswer = 25ms;  // of one transaction at 9600 baud
constexpr Duration kProbe = 600ms;
constexpr int kTries = 2;

/// A line in virtual time: every due job is done at once, and costs what an answer or a silence costs.
struct Bench {
  Schedule schedule{kProbe, kTries};
  Instant now = kStart;
  std::function<bool(Schedule::Job, Instant)> answers = [](Schedule::Job, Instant) { return true; };
  std::map<Schedule::Job, std::vector<Instant>> asked{};
  std::map<Schedule::Job, std::vector<Schedule::Miss>> misses{};

  void run_until(Instant end) {
    while (now < end) {
      const auto job = schedule.next(now);
      if (!job) {
        now = std::min(end, schedule.wake().value_or(end));
        continue;
      }
      asked[*job].push_back(now);
      const bool well = answers(*job, now);
      now += well ? kAnswer : kProbe;
      if (well)
        schedule.answered(*job, now);
      else
        misses[*job].push_back(schedule.missed(*job, now));
    }
  }
  int count(Schedule::Job job, Instant from, Instant to) {
    int n = 0;
    for (const Instant at : asked[job])
      if (at >= from && at < to) ++n;
    return n;
  }
  Duration longest_gap(Schedule::Job job) {
    Duration longest{0};
    for (std::size_t n = 1; n < asked[job].size(); ++n)
      longest = std::max(longest, asked[job][n] - asked[job][n - 1]);
    return longest;
  }
};

}  // namespace

TEST_CASE("schedule: without jobs nothing is due", "[field][schedule]") {
  const Schedule schedule{kProbe, kTries};
  CHECK_FALSE(schedule.next(kStart).has_value());
  CHECK_FALSE(schedule.wake().has_value());
}

TEST_CASE("schedule: a job is due at its deadline and not before", "[field][schedule]") {
  Schedule schedule{kProbe, kTries};
  schedule.add(1, 1s, kStart);
  CHECK_FALSE(schedule.next(kStart - 1ns).has_value());
  REQUIRE(schedule.next(kStart).has_value());
  schedule.answered(0, kStart + kAnswer);
  CHECK_FALSE(schedule.next(kStart + 1s - 1ns).has_value());
  CHECK(schedule.next(kStart + 1s).has_value());  // the period counts from the deadline, not from the answer
  CHECK(schedule.wake() == kStart + 1s);
}

TEST_CASE("schedule: every station that answers is read at its rate", "[field][schedule]") {
  Bench bench;
  bench.schedule.add(1, 1s, kStart);
  bench.schedule.add(2, 500ms, kStart);
  bench.schedule.add(3, 2s, kStart);
  bench.run_until(kStart + 60s);
  CHECK(bench.asked[0].size() == 60);
  CHECK(bench.asked[1].size() == 120);
  CHECK(bench.asked[2].size() == 30);
}

TEST_CASE("schedule: on an overloaded line everybody gets the same share", "[field][schedule]") {
  Bench bench;
  for (int station = 1; station <= 20; ++station)
    bench.schedule.add(station, 100ms, kStart);
  bench.run_until(kStart + 50s);  // 2000 transactions for 20 jobs
  for (Schedule::Job job = 0; job < 20; ++job)
    CHECK(bench.asked[job].size() == 100);
}

TEST_CASE("schedule: one lost reply is tried again at once and held against nobody", "[field][schedule]") {
  Bench bench;
  bench.schedule.add(1, 1s, kStart);
  int asked = 0;
  bench.answers = [&](Schedule::Job, Instant) { return ++asked != 3; };
  bench.run_until(kStart + 10s);
  CHECK(bench.misses[0] == std::vector{Schedule::Miss::again});
  CHECK(bench.asked[0].size() == 11);
}

TEST_CASE("schedule: silent stations take a tenth of the line and starve nobody", "[field][schedule]") {
  Bench bench;
  for (int station = 1; station <= 4; ++station)
    bench.schedule.add(station, 500ms, kStart);
  for (int station = 11; station <= 13; ++station)
    bench.schedule.add(station, 1s, kStart);
  bench.answers = [](Schedule::Job job, Instant) { return job < 4; };
  bench.run_until(kStart + 600s);
  // Settled, after the first minute:
  std::size_t probes = 0;
  for (Schedule::Job job = 4; job < 7; ++job)
    probes += bench.count(job, kStart + 60s, kStart + 600s);
  CHECK(probes * kProbe <= 540s / 10 + kProbe * 3);
  for (Schedule::Job job = 0; job < 4; ++job) {
    CHECK(bench.count(job, kStart + 60s, kStart + 600s) >= 540 * 2 * 85 / 100);
    CHECK(bench.longest_gap(job) <= 500ms + 7 * kProbe);  // at worst behind each silent station's first tries
  }
}

TEST_CASE("schedule: a lone silent station is asked again within seconds, many within half a minute",
          "[field][schedule]") {
  for (const int silent : {1, 12}) {
    Bench bench;
    for (int station = 1; station <= silent; ++station)
      bench.schedule.add(station, 1s, kStart);
    bench.answers = [](Schedule::Job, Instant) { return false; };
    bench.run_until(kStart + 600s);
    const Duration most = silent == 1 ? 10 * kProbe + kProbe : 30s + silent * kProbe;
    for (Schedule::Job job = 0; job < static_cast<Schedule::Job>(silent); ++job)
      CHECK(bench.longest_gap(job) <= most);
  }
}

TEST_CASE("schedule: a station that answers again is at once read at its full rate", "[field][schedule]") {
  Bench bench;
  bench.schedule.add(1, 1s, kStart);
  bench.schedule.add(1, 1s, kStart);
  const Instant repaired = kStart + 120s;
  bench.answers = [&](Schedule::Job, Instant at) { return at >= repaired; };
  bench.run_until(repaired + 60s);
  for (Schedule::Job job = 0; job < 2; ++job) {
    const Instant back = *std::find_if(bench.asked[job].begin(), bench.asked[job].end(),
                                       [&](Instant at) { return at >= repaired; });
    CHECK(back - repaired <= 10 * kProbe + kProbe);
    CHECK(bench.count(job, back + 1s, back + 11s) == 10);
  }
}

TEST_CASE("schedule: all questions of a silent station share one attempt", "[field][schedule]") {
  Bench bench;
  for (int n = 0; n < 8; ++n)
    bench.schedule.add(1, 1s, kStart);
  bench.answers = [](Schedule::Job, Instant) { return false; };
  bench.run_until(kStart + 300s);
  std::size_t probes = 0;
  for (const auto& [job, times] : bench.asked)
    probes += times.size();
  CHECK(probes <= 300s / (10 * kProbe) + 10);
  for (const auto& [job, missed] : bench.misses)
    CHECK(missed.back() == Schedule::Miss::station);
}

TEST_CASE("schedule: a question that is never answered does not silence its station's others",
          "[field][schedule]") {
  Bench bench;
  bench.schedule.add(1, 1s, kStart);
  bench.schedule.add(1, 1s, kStart);
  bench.answers = [](Schedule::Job job, Instant) { return job == 0; };
  bench.run_until(kStart + 120s);
  CHECK(bench.asked[0].size() >= 100);
  CHECK(bench.asked[1].size() <= 30);
  CHECK(bench.misses[1].back() == Schedule::Miss::job);
}

TEST_CASE("schedule: after a restart everything is due and nothing is held back", "[field][schedule]") {
  Bench bench;
  bench.schedule.add(1, 1s, kStart);
  bench.schedule.add(2, 1s, kStart);
  bench.answers = [](Schedule::Job, Instant) { return false; };
  bench.run_until(kStart + 100s);
  bench.schedule.restart(bench.now);
  CHECK(bench.schedule.wake() == bench.now);
  CHECK(bench.schedule.missed(0, bench.now) == Schedule::Miss::again);
}
