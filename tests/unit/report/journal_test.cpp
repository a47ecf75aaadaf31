#include "stillwell/report/journal.hpp"

#include <filesystem>
#include <limits>

#include "support/catch.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using support::TemporaryDirectory;

namespace {

Entry entry(std::uint64_t seq, std::string text = "Lift pump tripped.") {
  using namespace std::chrono;
  using namespace std::chrono_literals;
  const Stamp at{sys_days{2026y / March / 1} + 4h + 12min + 7s + 250ms};
  return {at, seq, {EventKind::trip, "lift", "source-low", std::move(text), {{"level_m", 0.25}}}};
}

std::vector<std::string> lines_of(const std::string& file) {
  std::vector<std::string> lines;
  std::istringstream text{support::read_file(file)};
  for (std::string line; std::getline(text, line);)
    lines.push_back(line);
  return lines;
}

/// A file whose every write fails because the disk is full (full(4)).
void fill_disk_under(const std::string& file) {
  std::filesystem::remove(file);
  std::filesystem::create_symlink("/dev/full", file);
}

}  // namespace

TEST_CASE("journal: a line has the fields of the contract, in its order", "[report][journal]") {
  CHECK(to_line(entry(1042)) ==
        R"({"at":"2026-03-01T04:12:07.250Z","seq":1042,"kind":"trip","of":"lift","cause":"source-low",)"
        R"("text":"Lift pump tripped.","values":{"level_m":0.25}})");
}

TEST_CASE("journal: an alarm tells its priority", "[report][journal]") {
  const Entry alarm{
      entry(7).at, 7, {EventKind::alarm, "header/low", "unacknowledged", "Low.", {}, Priority::medium}};
  CHECK(to_line(alarm) == R"({"at":"2026-03-01T04:12:07.250Z","seq":7,"kind":"alarm","of":"header/low",)"
                          R"("cause":"unacknowledged","priority":"medium","text":"Low.","values":{}})");
}

TEST_CASE("journal: a value that is no number is left out, and bad text is replaced", "[report][journal]") {
  Entry bad = entry(1, "name \xff\n end");
  bad.event.values = {{"level_m", std::numeric_limits<double>::quiet_NaN()},
                      {"limit_m", std::numeric_limits<double>::infinity()},
                      {"age_s", 3.0}};
  const auto line = to_line(bad);
  CHECK(line.find('\n') == std::string::npos);
  const auto parsed = nlohmann::json::parse(line);
  CHECK(parsed["values"] == nlohmann::json{{"age_s", 3.0}});
  CHECK(parsed["text"] == "name \xEF\xBF\xBD\n end");  // U+FFFD
}

TEST_CASE("journal: numbers go on after a restart", "[report][journal]") {
  const TemporaryDirectory state;
  {
    Journal journal{{.directory = state.path()}};
    CHECK(journal.newest_seq() == 0);
    CHECK_FALSE(journal.append(entry(41)));
    CHECK_FALSE(journal.append(entry(42)));
  }
  const Journal again{{.directory = state.path()}};
  CHECK(again.newest_seq() == 42);
  CHECK_FALSE(again.was_torn());
  CHECK_FALSE(again.has_gap());
}

TEST_CASE("journal: the newest number is found when only the rotated file has one", "[report][journal]") {
  const TemporaryDirectory state;
  support::write_file(state.file("journal.jsonl.1"), to_line(entry(7)) + "\n" + to_line(entry(8)) + "\n");
  const Journal journal{{.directory = state.path()}};
  CHECK(journal.newest_seq() == 8);
}

TEST_CASE("journal: it is rotated by size, keeps two old files and loses no line of those",
          "[report][journal]") {
  const TemporaryDirectory state;
  const auto line_size = to_line(entry(100)).size() + 1;
  Journal journal{{.directory = state.path(), .rotate_at = 3 * line_size, .keep = 2}};
  for (std::uint64_t seq = 100; seq < 112; ++seq)
    CHECK_FALSE(journal.append(entry(seq)));
  std::vector<std::uint64_t> numbers;
  for (const char* name : {"journal.jsonl.2", "journal.jsonl.1", "journal.jsonl"}) {
    CHECK(std::filesystem::file_size(state.file(name)) == 3 * line_size);
    for (const auto& line : lines_of(state.file(name)))
      numbers.push_back(nlohmann::json::parse(line)["seq"]);
  }
  CHECK(numbers == std::vector<std::uint64_t>{103, 104, 105, 106, 107, 108, 109, 110, 111});
  CHECK_FALSE(std::filesystem::exists(state.file("journal.jsonl.3")));
}

TEST_CASE("journal: a line longer than the limit is still written whole", "[report][journal]") {
  const TemporaryDirectory state;
  Journal journal{{.directory = state.path(), .rotate_at = 10}};
  CHECK_FALSE(journal.append(entry(1)));
  CHECK_FALSE(journal.append(entry(2)));
  CHECK(lines_of(state.file("journal.jsonl")) == std::vector{to_line(entry(2))});
  CHECK(lines_of(state.file("journal.jsonl.1")) == std::vector{to_line(entry(1))});
}

TEST_CASE("journal: a line torn by a power cut is ended at whatever byte it was cut", "[report][journal]") {
  const auto whole = to_line(entry(5));
  for (std::size_t cut = 1; cut < whole.size(); ++cut) {
    const TemporaryDirectory state;
    support::write_file(state.file("journal.jsonl"), to_line(entry(4)) + "\n" + whole.substr(0, cut));
    Journal journal{{.directory = state.path()}};
    REQUIRE(journal.was_torn());
    REQUIRE(journal.newest_seq() == 4);
    REQUIRE_FALSE(journal.append(entry(6)));
    const auto lines = lines_of(state.file("journal.jsonl"));
    REQUIRE(lines.size() == 3);
    REQUIRE(lines[1] == whole.substr(0, cut));
    REQUIRE(lines[2] == to_line(entry(6)));
  }
}

TEST_CASE("journal: garbage in the file is no reason to refuse, nor a number", "[report][journal]") {
  const TemporaryDirectory state;
  support::write_file(state.file("journal.jsonl"), std::string("\0\xff{[\n", 5) + R"({"seq":"nine"})" +
                                                       "\n[1,2]\n" + to_line(entry(3)) + "\n");
  CHECK(Journal{{.directory = state.path()}}.newest_seq() == 3);
}

TEST_CASE("journal: a full disk refuses lines and is tried again", "[report][journal]") {
  const TemporaryDirectory state;
  fill_disk_under(state.file("journal.jsonl"));
  Journal journal{{.directory = state.path()}};
  const auto failed = journal.append(entry(1));
  REQUIRE(failed);
  CHECK(failed->text.find("journal.jsonl") != std::string::npos);
  CHECK(failed->text.find("No space left") != std::string::npos);
  std::filesystem::remove(state.file("journal.jsonl"));  // room again
  CHECK_FALSE(journal.append(entry(2)));
  CHECK(lines_of(state.file("journal.jsonl")) == std::vector{to_line(entry(2))});
}

TEST_CASE("journal: a number that the disk refused is not used again after a restart", "[report][journal]") {
  const TemporaryDirectory state;
  fill_disk_under(state.file("journal.jsonl"));
  {
    Journal journal{{.directory = state.path()}};
    for (std::uint64_t seq = 1; seq <= 5; ++seq)
      CHECK(journal.append(entry(seq)));
  }
  std::filesystem::remove(state.file("journal.jsonl"));
  Journal again{{.directory = state.path()}};
  CHECK(again.has_gap());
  const auto next = again.newest_seq() + 1;
  CHECK(next > 5);
  CHECK_FALSE(again.append(entry(next)));

  SECTION("and once all is written, nothing more is left out") {
    const Journal third{{.directory = state.path()}};
    CHECK(third.newest_seq() == next);
    CHECK_FALSE(third.has_gap());
  }
}

TEST_CASE("journal: a state directory that cannot be one is refused with its name", "[report][journal]") {
  const TemporaryDirectory state;
  support::write_file(state.file("occupied"), "a file");
  CHECK_THROWS_WITH((Journal{{.directory = state.file("occupied")}}),
                    Catch::Matchers::StartsWith("the state directory " + state.file("occupied")));
  CHECK_THROWS_WITH((Journal{{.directory = state.file("occupied/below")}}),
                    Catch::Matchers::StartsWith("the state directory "));
}
