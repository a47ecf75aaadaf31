#include "stillwell/report/level_log.hpp"

#include "stillwell/report/level_rows.hpp"

#include <csignal>
#include <filesystem>
#include <optional>
#include <set>
#include <string>
#include <utility>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/process.hpp"
#include <sys/resource.h>

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

namespace {

/// A log on a clock that the test sets.
class Logged {
 public:
  explicit Logged(const std::string& directory, Duration hold_back = 1h)
      : log_{std::in_place, model,
             LevelLogOptions{.directory = directory,
                             .logging = {.every = 1min, .keep = kDay * 400},
                             .trusted_wall = [this] { return wall; },
                             .hold_back = hold_back}} {}

  void look(Duration since) { log_->show(view, Instant{since}); }
  void end() { log_.reset(); }
  [[nodiscard]] std::string row(Stamp at) const { return level_row(view, at); }

  const Model model = support::orchard_model();
  const View view = support::calm_view(model);
  std::optional<Stamp> wall = kMarchEnds;

 private:
  std::optional<LevelLog> log_;
};

}  // namespace

TEST_CASE("level log: rows go to the file of their month, and to the disk together", "[report][levels]") {
  const support::TemporaryDirectory directory;
  Logged log{directory.path()};
  // Ten scans a minute, of which one is a row.
  for (int scan = 0; scan < 40; ++scan) {
    log.wall = kMarchEnds + std::chrono::seconds{scan * 6};
    log.look(scan * 6s);
  }
  CHECK(names_in(directory.path()).empty());
  log.end();
  CHECK(names_in(directory.path()) == std::set<std::string>{"levels-2026-03.csv", "levels-2026-04.csv"});
  const std::string header = level_header(log.model);
  CHECK(support::read_file(directory.file("levels-2026-03.csv")) ==
        header + log.row(kMarchEnds) + log.row(kMarchEnds + 1min));
  CHECK(support::read_file(directory.file("levels-2026-04.csv")) ==
        header + log.row(kMarchEnds + 2min) + log.row(kMarchEnds + 3min));
}

TEST_CASE("level log: a clock that nobody trusts, or that goes back, writes no row and deletes no month",
          "[report][levels]") {
  const support::TemporaryDirectory directory;
  support::write_file(directory.file("levels-2026-02.csv"), "kept\n");
  Logged log{directory.path()};
  log.look(0min);
  log.wall = std::nullopt;  // as after a cut, with the year 2099 in a clock whose cell is empty
  log.look(1min);
  log.wall = kMarchEnds - 30s;
  log.look(2min);
  log.wall = kMarchEnds + 30s;
  log.look(3min);
  log.end();
  CHECK(names_in(directory.path()) == std::set<std::string>{"levels-2026-02.csv", "levels-2026-03.csv"});
  CHECK(support::read_file(directory.file("levels-2026-03.csv")) ==
        level_header(log.model) + log.row(kMarchEnds) + log.row(kMarchEnds + 30s));
}

TEST_CASE("level log: rows that the disk refused are written when it takes them again", "[report][levels]") {
  const support::TemporaryDirectory directory;
  const std::string folder = directory.file("later");  // not there yet
  Logged log{folder, 0s};
  log.look(0min);
  log.wall = kMarchEnds + 1min;
  std::filesystem::create_directory(folder);
  log.look(1min);
  log.end();
  CHECK(support::read_file(folder + "/levels-2026-03.csv") ==
        level_header(log.model) + log.row(kMarchEnds) + log.row(kMarchEnds + 1min));
}

TEST_CASE("level log: what does not fit on the disk leaves nothing half written", "[report][levels]") {
  const support::TemporaryDirectory directory;
  REQUIRE_FALSE(append_levels(directory.path(), "2026-03", "at,tanks.header\r\n", "1,1.0\r\n"));
  const std::string before = support::read_file(directory.file("levels-2026-03.csv"));
  // As a full disk: no file of this process may grow beyond (setrlimit(2)).
  rlimit whole{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &whole) == 0);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  rlimit small = whole;
  small.rlim_cur = before.size() + 10;
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
  const auto failure =
      append_levels(directory.path(), "2026-03", "at,tanks.header\r\n", "2,1.0\r\n3,1.0\r\n");
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &whole) == 0);
  std::signal(SIGXFSZ, handler);
  REQUIRE(failure);
  CHECK(support::read_file(directory.file("levels-2026-03.csv")) == before);
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
