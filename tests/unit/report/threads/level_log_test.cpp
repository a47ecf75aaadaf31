#include "stillwell/report/level_log.hpp"

#include "stillwell/report/level_rows.hpp"

#include <filesystem>
#include <set>
#include <string>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/process.hpp"

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;

namespace {

constexpr Stamp kMarchEnds{std::chrono::sys_days{std::chrono::year{2026} / 4 / 1} -
                           std::chrono::milliseconds{90'000}};

std::set<std::string> names_in(const std::string& directory) {
  std::set<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator{directory})
    names.insert(entry.path().filename().string());
  return names;
}

}  // namespace

TEST_CASE("level log: a row has what the pumps saw, and an empty cell where nothing was known",
          "[report][levels]") {
  const Model model = support::orchard_model();
  View view = support::calm_view(model);
  view.pumps[0].order = Order::on;
  view.alarms[0].state = AlarmState::unacknowledged;
  view.alarms[1].state = AlarmState::returned_unacknowledged;
  view.tanks[1] = support::tank_gone(view.tanks[1], Reason::jump);
  CHECK(level_header(model) ==
        "at,tanks.header,tanks.cistern,pumps.lift,pumps.bore,alarms.header/low,alarms.header/high,"
        "alarms.cistern/low,alarms.cistern/unwell\r\n");
  CHECK(level_row(view, support::some_stamp()) == "2026-03-01T04:12:07.250Z,1.742,,1,0,1,0,0,0\r\n");
}

TEST_CASE("level log: rows go to the file of their month, and to the disk together", "[report][levels]") {
  const support::TemporaryDirectory directory;
  const Model model = support::orchard_model();
  const View view = support::calm_view(model);
  {
    LevelLog log{
        model,
        {.directory = directory.path(), .logging = {.every = 1min, .keep = kDay * 400}, .hold_back = 1h}};
    // Ten scans a minute, of which one is a row.
    for (int scan = 0; scan < 40; ++scan)
      log.show(view, Instant{scan * 6s}, kMarchEnds + std::chrono::seconds{scan * 6});
    CHECK(names_in(directory.path()).empty());
  }
  CHECK(names_in(directory.path()) == std::set<std::string>{"levels-2026-03.csv", "levels-2026-04.csv"});
  CHECK(support::read_file(directory.file("levels-2026-03.csv")) ==
        level_header(model) + level_row(view, kMarchEnds) + level_row(view, kMarchEnds + 1min));
  CHECK(support::read_file(directory.file("levels-2026-04.csv")) ==
        level_header(model) + level_row(view, kMarchEnds + 2min) + level_row(view, kMarchEnds + 3min));
}

TEST_CASE("level log: what a power cut left torn is taken off, and nothing else", "[report][levels]") {
  const support::TemporaryDirectory directory;
  const auto append = [&](const std::string& rows) {
    return append_levels(directory.path(), "2026-03", "at,tanks.header\r\n", rows);
  };
  const std::string file = directory.file("levels-2026-03.csv");
  REQUIRE_FALSE(append("1,1.0\r\n2,1.0\r\n"));
  const std::string whole = support::read_file(file);
  for (std::size_t cut = 0; cut <= whole.size(); ++cut) {
    INFO(cut);
    support::write_file(file, whole.substr(0, cut));
    REQUIRE_FALSE(append("3,1.0\r\n"));
    const std::size_t end = whole.substr(0, cut).rfind('\n');
    const std::string kept = end == std::string::npos ? "at,tanks.header\r\n" : whole.substr(0, end + 1);
    CHECK(support::read_file(file) == kept + "3,1.0\r\n");
  }
}

TEST_CASE("level log: with another configuration another file is begun", "[report][levels]") {
  const support::TemporaryDirectory directory;
  REQUIRE_FALSE(append_levels(directory.path(), "2026-03", "at,tanks.header\r\n", "1,1.0\r\n"));
  REQUIRE_FALSE(append_levels(directory.path(), "2026-03", "at,tanks.sump\r\n", "2,0.5\r\n"));
  REQUIRE_FALSE(append_levels(directory.path(), "2026-03", "at,tanks.header\r\n", "3,1.0\r\n"));
  CHECK(support::read_file(directory.file("levels-2026-03.csv")) == "at,tanks.header\r\n1,1.0\r\n3,1.0\r\n");
  CHECK(support::read_file(directory.file("levels-2026-03-2.csv")) == "at,tanks.sump\r\n2,0.5\r\n");
}

TEST_CASE("level log: months that are older than asked for go, and nobody else's files", "[report][levels]") {
  const support::TemporaryDirectory directory;
  for (const char* name :
       {"levels-2025-01.csv", "levels-2025-02.csv", "levels-2025-02-2.csv", "levels-2025-03.csv",
        "levels-of-mine.csv", "levels-2025-13.csv", "journal.jsonl", "levels-2024-01.csv.bak"})
    support::write_file(directory.file(name), "kept\n");
  forget_levels(directory.path(), std::chrono::sys_days{std::chrono::year{2025} / 3 / 15});
  CHECK(names_in(directory.path()) == std::set<std::string>{"levels-2025-03.csv", "levels-of-mine.csv",
                                                            "levels-2025-13.csv", "journal.jsonl",
                                                            "levels-2024-01.csv.bak"});
}

TEST_CASE("level log: a place that cannot be written is told with its name", "[report][levels]") {
  const auto failure = append_levels("/nowhere/at/all", "2026-03", "at\r\n", "1\r\n");
  REQUIRE(failure);
  CHECK(failure->text.find("/nowhere/at/all") != std::string::npos);
}
