#include "stillwell/report/state_file.hpp"

#include "support/catch.hpp"
#include "support/process.hpp"

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;

namespace {

Kept some_kept() {
  Kept kept;
  kept.pumps.push_back({.id = "lift",
                        .mode = Mode::off,
                        .lock_out = Cause::no_feedback,
                        .first_out = Cause::source_low,
                        .feedback_failures = 2,
                        .recent_starts = 3,
                        .run_time = 5h + 1ns,
                        .start_count = 18446744073709551615ULL});
  kept.pumps.push_back({.id = "bore", .mode = Mode::automatic});
  kept.alarms.push_back({.id = "header/low", .state = AlarmState::returned_unacknowledged, .active = false});
  return kept;
}

}  // namespace

TEST_CASE("state file: what is written reads back the same", "[report][state]") {
  const support::TemporaryDirectory directory;
  REQUIRE_FALSE(save_state(directory.path(), some_kept()).has_value());
  const FoundState found = load_state(directory.path());
  REQUIRE(found.kept.has_value());
  CHECK(*found.kept == some_kept());
  CHECK(found.loss.empty());
}

TEST_CASE("state file: cut at any byte or changed at any byte it is not believed", "[report][state][input]") {
  const std::string whole = to_json(some_kept());
  REQUIRE(parse_kept(whole).ok());
  for (std::size_t length = 0; length + 1 < whole.size(); ++length) {  // the last one is the end of the line
    INFO(length);
    CHECK_FALSE(parse_kept(whole.substr(0, length)).ok());
  }
  for (std::size_t at = 0; at + 1 < whole.size(); ++at) {
    std::string changed = whole;
    changed[at] = changed[at] == '7' ? '8' : '7';
    const auto parsed = parse_kept(changed);
    INFO(changed);
    CHECK((!parsed.ok() || *parsed == some_kept()));
  }
}

TEST_CASE("state file: a first start finds nothing and loses nothing", "[report][state]") {
  const support::TemporaryDirectory directory;
  const FoundState found = load_state(directory.path());
  CHECK_FALSE(found.kept.has_value());
  CHECK(found.loss.empty());
}

TEST_CASE("state file: missing beside a journal or an older copy it counts as lost",
          "[report][state][rule-23]") {
  for (const char* marker : {"journal.jsonl", "state.json.old"}) {
    const support::TemporaryDirectory directory;
    support::write_file(directory.file(marker), "x\n");
    CHECK(load_state(directory.path()).loss.find("is missing") != std::string::npos);
  }
}

TEST_CASE("state file: a broken one is set aside and said", "[report][state][rule-23]") {
  const support::TemporaryDirectory directory;
  support::write_file(directory.file("state.json"), "\x01\x02 no JSON");
  const FoundState found = load_state(directory.path());
  CHECK_FALSE(found.kept.has_value());
  CHECK(found.loss.find("state.json.broken") != std::string::npos);
  CHECK(support::read_file(directory.file("state.json.broken")) == "\x01\x02 no JSON");
  CHECK(support::read_file(directory.file("state.json")).empty());
}

TEST_CASE("state file: the copy before the last is kept", "[report][state]") {
  const support::TemporaryDirectory directory;
  REQUIRE_FALSE(save_state(directory.path(), some_kept()).has_value());
  REQUIRE_FALSE(save_state(directory.path(), Kept{}).has_value());
  CHECK(*parse_kept(support::read_file(directory.file("state.json.old"))) == some_kept());
  CHECK(*load_state(directory.path()).kept == Kept{});
}

TEST_CASE("state file: a disk that refuses is told with the path", "[report][state]") {
  const auto failure = save_state("/proc/no-such", some_kept());
  REQUIRE(failure.has_value());
  CHECK(failure->text.find("/proc/no-such/state.json.new") != std::string::npos);
}
