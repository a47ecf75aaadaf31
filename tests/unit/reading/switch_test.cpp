// On/off inputs: what they mean, and that an input which was not read lately means nothing.

#include "stillwell/reading/switch.hpp"

#include "stillwell/reading/quality.hpp"

#include <chrono>
#include <set>
#include <string>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

struct Bench {
  SwitchRules rules{.stale_after = 1500ms};
  SwitchMemory memory;
  Instant now{1h};
  SwitchSample shown;

  SwitchState again(Duration later) { return follow(memory, shown, rules, now += later); }
  SwitchState show(SwitchSample sample) {
    now += 500ms;
    sample.at = now;
    shown = sample;
    return again(0s);
  }
  SwitchState reads(bool closed) { return show({.closed = closed, .fault = Reason::none}); }
};

}  // namespace

TEST_CASE("switch: closed is on, and off when it is active low", "[reading][switch]") {
  Bench plain;
  CHECK(plain.reads(true).on == true);
  CHECK(plain.reads(false).on == false);
  Bench active_low{.rules = {.active_low = true, .stale_after = 1500ms}};
  CHECK(active_low.reads(true).on == false);
  CHECK(active_low.reads(false).on == true);
}

TEST_CASE("switch: neither on nor off before the first read", "[reading][switch]") {
  for (const bool active_low : {false, true}) {
    Bench bench{.rules = {.active_low = active_low, .stale_after = 1500ms}};
    CHECK_FALSE(bench.again(0s).on.has_value());
    CHECK(bench.again(0s).reason == Reason::starting);
  }
}

TEST_CASE("switch: a failed read is tolerated until the last good one is stale", "[reading][switch]") {
  Bench bench;
  bench.reads(true);
  CHECK(bench.show({.fault = Reason::no_answer}).on == true);
  CHECK(bench.show({.fault = Reason::no_answer}).on == true);
  CHECK(bench.show({.fault = Reason::no_answer}).on == true);  // 1500 ms old: the limit itself
  const SwitchState late = bench.again(1ns);
  CHECK_FALSE(late.on.has_value());
  CHECK(late.reason == Reason::no_answer);
}

TEST_CASE("switch: silence is stale", "[reading][switch]") {
  Bench bench;
  bench.reads(true);
  CHECK(bench.again(1500ms).on == true);
  CHECK(bench.again(1ns).reason == Reason::stale);
  CHECK_FALSE(bench.again(1ns).on.has_value());
}

TEST_CASE("switch: one good read brings it back", "[reading][switch]") {
  Bench bench;
  bench.reads(true);
  bench.again(10s);
  const SwitchState back = bench.reads(false);
  CHECK(back.on == false);
  CHECK(back.reason == Reason::none);
}

TEST_CASE("switch: an old read shown late does not undo a newer one", "[reading][switch]") {
  Bench bench;
  bench.reads(true);
  bench.shown = {.at = bench.now - 400ms, .closed = false, .fault = Reason::none};
  CHECK(bench.again(10ms).on == true);
}

TEST_CASE("words: each reason has its own, as published", "[reading][words]") {
  // The words are those of the user's contract, and one more; outputs elsewhere rely on them.
  const std::set<std::string> published{
      "stale",  "no-answer", "bad-frame", "blanking",       "beyond-reach", "outside-span", "jump",
      "frozen", "noisy",     "disagree",  "out-of-service", "starting",     "uncorrected"};
  std::set<std::string> words;
  for (int each = static_cast<int>(Reason::stale); each <= static_cast<int>(Reason::starting); ++each)
    words.emplace(to_word(static_cast<Reason>(each)));
  CHECK(words == published);
  CHECK(to_word(Quality::good) == "good");
  CHECK(to_word(Quality::uncertain) == "uncertain");
  CHECK(to_word(Quality::bad) == "bad");
}
