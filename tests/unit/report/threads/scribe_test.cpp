#include "stillwell/report/scribe.hpp"

#include <array>
#include <atomic>
#include <filesystem>
#include <mutex>
#include <thread>

#include "support/catch.hpp"
#include "support/process.hpp"
#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

using namespace stillwell;
using namespace stillwell::report;
using support::TemporaryDirectory;

namespace {

Event event(std::string text) {
  return {EventKind::start, "lift", "level", std::move(text), {}};
}

std::vector<nlohmann::json> entries_in(const std::string& text) {
  std::vector<nlohmann::json> entries;
  std::istringstream lines{text};
  for (std::string line; std::getline(lines, line);) {
    auto parsed = nlohmann::json::parse(line, nullptr, false);
    if (parsed.is_object()) entries.push_back(std::move(parsed));
  }
  return entries;
}

bool has_cause(const std::vector<nlohmann::json>& entries, const std::string& cause) {
  return std::any_of(entries.begin(), entries.end(),
                     [&](const auto& each) { return each["cause"] == cause; });
}

/// Empties a pipe all the time.
class PipeReader {
 public:
  explicit PipeReader(const std::string& file)
      : fd_{::open(file.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC)}, thread_{[this] { run(); }} {}
  ~PipeReader() {
    stop_ = true;
    thread_.join();
    ::close(fd_);
  }
  PipeReader(const PipeReader&) = delete;
  PipeReader& operator=(const PipeReader&) = delete;

  std::string text() {
    const std::scoped_lock lock{mutex_};
    return text_;
  }

 private:
  void run() {
    std::array<char, 65536> chunk{};
    while (!stop_) {
      pollfd watched{fd_, POLLIN, 0};
      if (::poll(&watched, 1, 10) <= 0) continue;
      const auto count = ::read(fd_, chunk.data(), chunk.size());
      const std::scoped_lock lock{mutex_};
      if (count > 0) text_.append(chunk.data(), static_cast<std::size_t>(count));
    }
  }

  int fd_;
  std::atomic<bool> stop_ = false;
  std::mutex mutex_;
  std::string text_;
  std::thread thread_;
};

}  // namespace

TEST_CASE("scribe: what is told is numbered, written and passed on in order", "[report][journal]") {
  const TemporaryDirectory state;
  std::vector<std::uint64_t> passed;
  Scribe scribe{{.journal = {.directory = state.path()}, .site = "orchard"},
                [&](const Entry& entry) { passed.push_back(entry.seq); }};
  scribe.start();
  for (int i = 0; i < 50; ++i)
    scribe.tell(Stamp{}, event("number " + std::to_string(i)));
  scribe.stop();
  const auto entries = entries_in(support::read_file(state.file("journal.jsonl")));
  REQUIRE(entries.size() == 50);
  REQUIRE(passed.size() == 50);
  for (std::uint64_t i = 0; i < 50; ++i) {
    CHECK(entries[i]["seq"] == i + 1);
    CHECK(entries[i]["text"] == "number " + std::to_string(i));
    CHECK(passed[i] == i + 1);
  }
  CHECK(scribe.recent().size() == 10);
  CHECK(scribe.recent().back().seq == 50);
}

TEST_CASE("scribe: numbers start above the ones that the state remembers", "[report][journal]") {
  const TemporaryDirectory state;
  Scribe scribe{{.journal = {.directory = state.path()}, .site = "orchard", .seq_after = 900}, {}};
  scribe.start();
  scribe.tell(Stamp{}, event("first"));
  scribe.stop();
  // The journal is gone: more may have been numbered than the state knew, and that lines are missing is said.
  const auto entries = entries_in(support::read_file(state.file("journal.jsonl")));
  REQUIRE(entries.size() == 2);
  CHECK(entries[0]["cause"] == "events-lost");
  CHECK(entries[0]["seq"] == 1901);
  CHECK(entries[1]["seq"] == 1902);
}

TEST_CASE("scribe: a torn line is said in an event", "[report][journal]") {
  const TemporaryDirectory state;
  support::write_file(state.file("journal.jsonl"), R"({"at":"2026-03-01T04:12:07.250Z","se)");
  Scribe scribe{{.journal = {.directory = state.path()}, .site = "orchard"}, {}};
  scribe.start();
  scribe.stop();
  const auto entries = entries_in(support::read_file(state.file("journal.jsonl")));
  REQUIRE(entries.size() == 1);
  CHECK(entries[0]["cause"] == "torn-line");
  CHECK(entries[0]["kind"] == "service");
  CHECK(entries[0]["of"] == "orchard");
}

TEST_CASE("scribe: events that a full disk refused are counted and said when it works again",
          "[report][journal]") {
  const TemporaryDirectory state;
  std::filesystem::create_symlink("/dev/full", state.file("journal.jsonl"));
  std::mutex mutex;
  std::uint64_t passed = 0;
  Scribe scribe{{.journal = {.directory = state.path()}, .site = "orchard"}, [&](const Entry& entry) {
                  const std::scoped_lock lock{mutex};
                  passed = entry.seq;
                }};
  const auto has_passed = [&](std::uint64_t seq) {
    return support::eventually([&] {
      const std::scoped_lock lock{mutex};
      return passed >= seq;
    });
  };
  scribe.start();
  for (int i = 0; i < 3; ++i)
    scribe.tell(Stamp{}, event("lost"));
  REQUIRE(has_passed(3));  // subscribers get them all the same
  std::filesystem::remove(state.file("journal.jsonl"));
  scribe.tell(Stamp{}, event("kept"));
  REQUIRE(has_passed(5));
  scribe.stop();
  const auto entries = entries_in(support::read_file(state.file("journal.jsonl")));
  REQUIRE(entries.size() == 2);
  CHECK(entries[0]["seq"] == 4);
  CHECK(entries[1]["cause"] == "events-lost");
  CHECK(entries[1]["text"].get<std::string>().find("the disk refused 3 of them") != std::string::npos);
}

TEST_CASE("scribe: a disk that hangs holds nobody up, and what did not fit is counted", "[report][journal]") {
  const TemporaryDirectory state;
  // A pipe that nobody empties: writes to it hang when its 64 kB are full (pipe(7)).
  REQUIRE(::mkfifo(state.file("journal.jsonl").c_str(), 0600) == 0);
  Scribe scribe{{.journal = {.directory = state.path()}, .site = "orchard"}, {}};
  scribe.start();
  constexpr int kTold = 4000;  // each about 110 bytes: the pipe takes some 600, the queue 1000
  for (int i = 0; i < kTold; ++i)
    scribe.tell(Stamp{}, event("x"));
  CHECK(scribe.newest_seq() >= kTold);

  SECTION("when it lets go, the loss is said and the order kept") {
    PipeReader reader{state.file("journal.jsonl")};
    REQUIRE(support::eventually([&] { return reader.text().find("events-lost") != std::string::npos; }));
    scribe.stop();
    const auto entries = entries_in(reader.text());
    CHECK(entries.size() < kTold);
    CHECK(has_cause(entries, "events-lost"));
    for (std::size_t i = 1; i < entries.size(); ++i) {
      CHECK(entries[i]["seq"].get<std::uint64_t>() > entries[i - 1]["seq"].get<std::uint64_t>());
    }
  }
  SECTION("and ending does not wait for it for ever") {
    scribe.stop();
    PipeReader let_the_thread_go{state.file("journal.jsonl")};
    CHECK(support::eventually([&] { return entries_in(let_the_thread_go.text()).size() >= 1000; }));
  }
}
