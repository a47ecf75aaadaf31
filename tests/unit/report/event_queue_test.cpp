#include "stillwell/report/event_queue.hpp"

#include "stillwell/report/journal.hpp"

#include <fstream>
#include <vector>

#include "support/catch.hpp"
#include "support/process.hpp"

using namespace stillwell;
using namespace stillwell::report;
using support::TemporaryDirectory;

namespace {

Entry entry(std::uint64_t seq) {
  return {
      Stamp{}, seq, {.kind = EventKind::service, .of = "orchard", .cause = "started", .text = "It started."}};
}

/// A journal and what is told of it, as the scribe does: on the disk first.
struct Site {
  explicit Site(const TemporaryDirectory& directory, std::uintmax_t rotate_at = 1'000'000)
      : path{directory.path()}, journal{{.directory = directory.path(), .rotate_at = rotate_at}} {}

  void tell(EventQueue& queue, std::uint64_t from, std::uint64_t to) {
    for (std::uint64_t seq = from; seq <= to; ++seq) {
      REQUIRE_FALSE(journal.append(entry(seq)).has_value());
      queue.put({seq, to_line(entry(seq))});
    }
  }
  [[nodiscard]] EventSource source() const { return {path, journal.newest_seq()}; }

  std::filesystem::path path;
  Journal journal;
};

/// All that are there now, each acknowledged.
std::vector<std::uint64_t> drain(EventQueue& queue) {
  std::vector<std::uint64_t> numbers;
  while (const auto letter = queue.next()) {
    CHECK(letter->line == to_line(entry(letter->seq)));
    numbers.push_back(letter->seq);
    queue.arrived(letter->seq);
  }
  return numbers;
}

std::vector<std::uint64_t> count(std::uint64_t from, std::uint64_t to) {
  std::vector<std::uint64_t> numbers;
  for (; from <= to; ++from)
    numbers.push_back(from);
  return numbers;
}

}  // namespace

TEST_CASE("event queue: in order, and each again until it arrived", "[report][mqtt][events]") {
  const TemporaryDirectory directory;
  Site site{directory};
  EventQueue queue{site.source(), 10};
  CHECK(queue.is_empty());
  CHECK_FALSE(queue.next().has_value());
  site.tell(queue, 1, 3);
  CHECK_FALSE(queue.is_empty());
  CHECK(queue.next()->seq == 1);
  CHECK(queue.next()->seq == 1);
  queue.arrived(2);  // which was not asked about
  CHECK(queue.next()->seq == 1);
  CHECK(drain(queue) == count(1, 3));
  CHECK(queue.is_empty());
  CHECK(queue.take_lost() == 0);
}

TEST_CASE("event queue: what the memory could not hold is found in the journal", "[report][mqtt][events]") {
  const TemporaryDirectory directory;
  Site site{directory};
  EventQueue queue{site.source(), 10};
  site.tell(queue, 1, 500);
  CHECK(drain(queue) == count(1, 500));
  site.tell(queue, 501, 505);
  CHECK(drain(queue) == count(501, 505));
  CHECK(queue.take_lost() == 0);
}

TEST_CASE("event queue: it goes on where the last daemon's broker stopped", "[report][mqtt][events]") {
  const TemporaryDirectory directory;
  {
    Site site{directory};
    EventQueue queue{site.source(), 10};
    site.tell(queue, 1, 40);
    for (int sent = 0; sent < 25; ++sent)
      queue.arrived(queue.next()->seq);
  }
  Site site{directory};
  EventQueue queue{site.source(), 10};
  CHECK_FALSE(queue.is_empty());
  site.tell(queue, 41, 43);
  CHECK(drain(queue) == count(26, 43));
  CHECK(queue.take_lost() == 0);
}

TEST_CASE("event queue: a crash repeats some and loses none", "[report][mqtt][events]") {
  const TemporaryDirectory directory;
  Site site{directory};
  const EventSource source = site.source();
  EventQueue queue{source, 10};
  site.tell(queue, 1, 30);
  drain(queue);
  // As the disk has it: whatever was saved before.
  const TemporaryDirectory copy;
  std::filesystem::copy(
      directory.path(), copy.path(),
      std::filesystem::copy_options::recursive | std::filesystem::copy_options::overwrite_existing);
  Site after{copy};
  EventQueue again{after.source(), 10};
  const auto numbers = drain(again);
  CHECK(again.take_lost() == 0);
  if (!numbers.empty()) CHECK(numbers == count(numbers.front(), 30));
}

TEST_CASE("event queue: at the very first start nothing old is sent", "[report][mqtt][events]") {
  const TemporaryDirectory directory;
  Site site{directory};
  {
    EventQueue nobody{{}, 10};
    site.tell(nobody, 1, 7);
  }
  EventQueue queue{site.source(), 10};
  site.tell(queue, 8, 9);
  CHECK(drain(queue) == count(8, 9));
}

TEST_CASE("event queue: what the first run told with no broker in it, the second one sends",
          "[report][mqtt][events]") {
  const TemporaryDirectory directory;
  {
    Site site{directory};
    EventQueue queue{site.source(), 10};
    site.tell(queue, 1, 4);
  }
  Site site{directory};
  EventQueue queue{site.source(), 10};
  CHECK(drain(queue) == count(1, 4));
}

TEST_CASE("event queue: rotation is read across, and what it threw away is counted",
          "[report][mqtt][events]") {
  const TemporaryDirectory directory;
  Site site{directory, 2'000};  // about a dozen lines a file, three files
  EventQueue queue{site.source(), 5};
  site.tell(queue, 1, 20);
  CHECK(queue.next()->seq == 1);
  queue.arrived(1);
  site.tell(queue, 21, 30);
  CHECK(drain(queue) == count(2, 30));
  CHECK(queue.take_lost() == 0);
  site.tell(queue, 31, 330);
  const auto numbers = drain(queue);
  REQUIRE_FALSE(numbers.empty());
  CHECK(numbers == count(numbers.front(), 330));
  CHECK(numbers.front() > 31);
  CHECK(queue.take_lost() == numbers.front() - 31);
  CHECK(queue.take_lost() == 0);
}

TEST_CASE("event queue: numbers that were never given are no loss, and torn lines no event",
          "[report][mqtt][events][input]") {
  const TemporaryDirectory directory;
  Site site{directory};
  EventQueue queue{site.source(), 2};
  site.tell(queue, 1, 2);
  site.tell(queue, 1003, 1010);
  {
    std::ofstream file{directory.file("journal.jsonl"), std::ios::app};
    file << "{\"at\":\"2026-03-01T04:12:07.250Z\",\"se\n\n\x01\x02 nonsense\n{\"seq\":\"1\"}\n";
  }
  site.tell(queue, 1011, 1014);
  std::vector<std::uint64_t> expected = count(1, 2);
  for (const auto number : count(1003, 1014))
    expected.push_back(number);
  CHECK(drain(queue) == expected);
  CHECK(queue.take_lost() == 0);
}

TEST_CASE("event queue: without a disk the memory is all, and what falls out of it is counted",
          "[report][mqtt][events]") {
  EventQueue queue{{}, 10};
  for (std::uint64_t seq = 1; seq <= 5; ++seq)
    queue.put({seq, to_line(entry(seq))});
  CHECK(drain(queue) == count(1, 5));
  for (std::uint64_t seq = 6; seq <= 25; ++seq)
    queue.put({seq, to_line(entry(seq))});
  CHECK(drain(queue) == count(16, 25));
  CHECK(queue.take_lost() == 10);
}

TEST_CASE("event queue: a mark that is broken, or of another journal, is not believed",
          "[report][mqtt][events][input]") {
  for (const std::string mark :
       {"", "abc", "0000000000000000999", "99999999999999999999", "-0000000000000000003"}) {
    const TemporaryDirectory directory;
    Site site{directory};
    EventQueue nobody{{}, 10};
    site.tell(nobody, 1, 7);
    support::write_file(directory.file("events.sent"), mark);
    EventQueue queue{site.source(), 10};
    site.tell(queue, 8, 9);
    INFO(mark);
    CHECK(drain(queue) == count(8, 9));
    CHECK(queue.take_lost() == 0);
  }
}

TEST_CASE("event queue: a journal that is no file is not read for ever", "[report][mqtt][events][input]") {
  for (const char* device : {"/dev/full", "/dev/zero"}) {
    const TemporaryDirectory directory;
    std::filesystem::create_symlink(device, directory.file("journal.jsonl"));
    EventQueue queue{{directory.path(), 7}, 10};
    CHECK_FALSE(queue.next().has_value());
    queue.put({8, to_line(entry(8))});
    CHECK(drain(queue) == count(8, 8));
  }
}
