#include "stillwell/report/state_file.hpp"

#include <functional>
#include <limits>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>

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
                        .released = true,
                        .recent_starts = 3,
                        .run_time = 5h + 1ns,
                        .start_count = 18446744073709551615ULL,
                        .off_by_network = true,
                        .reset_by_network = true,
                        .started_last = true,
                        .started_at = support::some_stamp(),
                        .stopped_at = support::some_stamp() + 2h});
  kept.pumps.push_back({.id = "bore", .mode = Mode::automatic});
  kept.gauges = {{.id = "header-top",
                  .to_floor = Metres{2.85},
                  .level = Metres{1.2345},
                  .fence_above = Metres{1.9},
                  .frozen = true},
                 {.id = "cistern-top"}};
  KeptTank header{.id = "header"};
  for (std::int64_t day = 20000; day < 20003; ++day)
    book(header.account, day, {.elapsed = 23h, .change = Litres{-100.125}, .pumped_in = Litres{0.1}},
         Litres{7.5});
  header.night = Night{.minimum = LitresPerSecond{0.0017}, .known = 0.9, .told = true, .leak = true};
  KeptWork lift{.id = "lift", .moved = Litres{1234567.5}, .wear = {}, .used = Joules{1.25e9}, .ran_on = 7min};
  for (int run = 0; run < 12; ++run)
    add_run(lift.wear, Litres{3500.3}, 1h);
  kept.accounts = {{header, {.id = "cistern"}}, {lift, {.id = "bore"}}};
  kept.at = support::some_stamp();
  kept.written = support::some_stamp() - std::chrono::hours{3};
  kept.boot = "6f1d";
  kept.since = Instant{5h};
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

namespace {

/// The text with one thing in its body changed and its sum right again, as no daemon writes it.
std::string forged(const std::function<void(nlohmann::ordered_json&)>& change) {
  auto file = nlohmann::ordered_json::parse(to_json(some_kept()));
  change(file["kept"]);
  std::uint64_t sum = 0xcbf29ce484222325U;
  for (const char letter : file["kept"].dump())
    sum = (sum ^ static_cast<unsigned char>(letter)) * 0x100000001b3U;
  file["sum"] = std::to_string(sum);
  return file.dump();
}

}  // namespace

TEST_CASE("state file: one of before the accounts is read, and they are empty", "[report][state][accounts]") {
  const auto old = parse_kept(forged([](auto& body) {
    body.erase("at");
    body.erase("gauges");
    body.erase("tanks");
    body.erase("work");
  }));
  REQUIRE(old.ok());
  CHECK(old->pumps == some_kept().pumps);
  CHECK(old->gauges.empty());
  CHECK(old->accounts == KeptAccounts{});
  CHECK_FALSE(old->at);
}

TEST_CASE("state file: in one of before commands over the network, every off was said on the spot",
          "[report][state]") {
  const auto old = parse_kept(forged([](auto& body) {
    body["pumps"][0].erase("off_by_network");
    body["pumps"][0].erase("reset_by_network");
  }));
  REQUIRE(old.ok());
  CHECK(old->pumps[0].mode == Mode::off);
  CHECK_FALSE(old->pumps[0].off_by_network);
  CHECK_FALSE(old->pumps[0].reset_by_network);
}

TEST_CASE("state file: in one of before the meters no energy was used", "[report][state][meter]") {
  const auto old = parse_kept(forged([](auto& body) { body["work"][0].erase("used_j"); }));
  REQUIRE(old.ok());
  CHECK(old->accounts.work[0].used == Joules{});
  CHECK(old->accounts.work[0].moved == some_kept().accounts.work[0].moved);
}

TEST_CASE("state file: a full account reads back the same, wherever its ring began",
          "[report][state][accounts]") {
  Kept kept;
  KeptTank tank{.id = "header"};
  for (std::int64_t day = 0; day < 40; ++day) {
    book(tank.account, day, {.elapsed = 24h, .change = Litres{-0.1 * static_cast<double>(day)}}, Litres{});
    kept.accounts.tanks = {tank};
    const auto read = parse_kept(to_json(kept));
    REQUIRE(read.ok());
    REQUIRE(*read == kept);
    CHECK(days_left(read->accounts.tanks[0].account, Litres{100.0}) ==
          days_left(tank.account, Litres{100.0}));
  }
  KeptWork work{.id = "lift"};
  for (int run = 0; run < 2000; ++run) {
    add_run(work.wear, Litres{3000.0}, 1h);
    kept.accounts.work = {work};
    REQUIRE(*parse_kept(to_json(kept)) == kept);
  }
}

TEST_CASE("state file: accounts that no daemon writes are refused, and nothing is read past an end",
          "[report][state][accounts][input]") {
  using Json = nlohmann::ordered_json;
  const std::vector<std::pair<std::function<void(Json&)>, const char*>> forgeries{
      {[](Json& body) {
         Json& days = body["tanks"][0]["days"];
         while (days.size() <= kDaysKept)
           days.push_back(days[0]);
       },
       "the count of days"},
      {[](Json& body) { body["tanks"][0]["days"] = 7; }, "the count of days"},
      {[](Json& body) { body["tanks"][0]["today"]["day"] = std::numeric_limits<std::int64_t>::max(); },
       "day"},
      {[](Json& body) { body["tanks"][0]["today"]["drawn_l"] = -1.0; }, "drawn_l"},
      {[](Json& body) { body["tanks"][0]["today"]["drawn_l"] = 1e300; }, "drawn_l"},
      {[](Json& body) { body["tanks"][0]["today"]["drawn_l"] = nullptr; }, "number"},
      {[](Json& body) { body["tanks"][0]["today"]["known_ns"] = -5; }, "known_ns"},
      {[](Json& body) { body["tanks"][0]["today"]["unknown_ns"] = std::numeric_limits<std::int64_t>::max(); },
       "unknown_ns"},
      {[](Json& body) {
         Json& stretches = body["work"][0]["stretches"];
         while (stretches.size() <= kWearStretches)
           stretches.push_back(stretches[0]);
       },
       "the count of stretches"},
      {[](Json& body) { body["work"][0]["stretches"] = Json::array(); }, "the count of stretches"},
      {[](Json& body) { body["work"][0]["stretches"][0]["ran_ns"] = 0; }, "ran_ns"},
      {[](Json& body) { body["work"][0]["stretch_ns"] = 0; }, "stretch_ns"},
      {[](Json& body) { body["gauges"][0]["level_m"] = 1e9; }, "level_m"},
      {[](Json& body) { body["gauges"][0]["fence_above_m"] = "high"; }, "number"},
      {[](Json& body) { body["work"][0]["used_j"] = -1.0; }, "used_j"},
      {[](Json& body) { body["work"][0]["used_j"] = 1e300; }, "used_j"},
      {[](Json& body) { body["work"][0]["used_j"] = "much"; }, "number"},
      {[](Json& body) { body["work"] = 3; }, ""},
      {[](Json& body) { body["tanks"] = "x"; }, ""},
  };
  REQUIRE(parse_kept(forged([](Json&) {})).ok());
  for (const auto& [change, says] : forgeries) {
    const auto read = parse_kept(forged(change));
    INFO(says);
    REQUIRE_FALSE(read.ok());
    CHECK(read.error().find(says) != std::string::npos);
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
