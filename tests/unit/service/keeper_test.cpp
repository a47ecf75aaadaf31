#include "stillwell/service/keeper.hpp"

#include "stillwell/field/clock.hpp"

#include <atomic>
#include <vector>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

Kept numbered(std::uint64_t number) {
  Kept kept;
  kept.pumps.push_back({.id = "lift", .start_count = number});
  return kept;
}

/// A disk that can be told to refuse.
struct Disk {
  std::atomic<bool> refuses{false};
  std::atomic<std::uint64_t> newest{0};
  std::atomic<int> saved{0};
  std::atomic<bool> hangs{false};
  std::mutex mutex;
  std::vector<std::string> told;

  service::Keeper::Parts parts() {
    return {.save = [this](const Kept& kept) -> std::optional<std::string> {
              while (hangs)
                std::this_thread::yield();
              if (refuses) return "no space left";
              newest = kept.pumps.at(0).start_count;
              return std::nullopt;
            },
            .tell =
                [this](const std::string& trouble) {
                  const std::lock_guard lock{mutex};
                  told.push_back(trouble);
                },
            .saved = [this] { ++saved; }};
  }
};

}  // namespace

TEST_CASE("keeper: settled means that the newest is on the disk", "[service][state][rule-23]") {
  Disk disk;
  service::Keeper keeper{disk.parts()};
  for (std::uint64_t number = 1; number <= 50; ++number) {
    keeper.keep(numbered(number), Instant{1s * number});
    REQUIRE(keeper.settle(20s));
    CHECK(disk.newest == number);
    CHECK(keeper.durable() == Instant{1s * number});
  }
}

TEST_CASE("keeper: a disk that refuses is told once, and the answer does not wait for it",
          "[service][state]") {
  Disk disk;
  disk.refuses = true;
  {
    service::Keeper keeper{disk.parts()};
    keeper.keep(numbered(1), Instant{1s});
    CHECK_FALSE(keeper.settle(20s));
    keeper.keep(numbered(2), Instant{2s});
    CHECK_FALSE(keeper.settle(20s));
    CHECK(keeper.durable() == Instant{});
    CHECK_FALSE(keeper.is_well(field::now()));
    disk.refuses = false;
  }  // the end tries once more
  CHECK(disk.newest == 2);
  REQUIRE(disk.told.size() == 2);
  CHECK(disk.told[0] == "no space left");
  CHECK(disk.told[1].empty());
}

TEST_CASE("keeper: a disk that hangs is not well after a while, and nothing of it is durable",
          "[service][state][rule-23]") {
  Disk disk;
  disk.hangs = true;
  service::Keeper keeper{disk.parts()};
  keeper.keep(numbered(1), Instant{1s});
  CHECK_FALSE(keeper.settle(50ms));
  const Instant now = field::now();
  CHECK(keeper.is_well(now));
  CHECK_FALSE(keeper.is_well(now + service::Keeper::kHangs + 1s));
  CHECK(keeper.durable() == Instant{});
  CHECK(disk.saved == 0);
  disk.hangs = false;
  CHECK(keeper.settle(20s));
  CHECK(keeper.is_well(now + 1h));
  CHECK(keeper.durable() == Instant{1s});
  while (disk.saved == 0)  // whoever waits for the disk is woken
    std::this_thread::yield();
}
