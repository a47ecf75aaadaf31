#include "stillwell/service/keeper.hpp"

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
  std::mutex mutex;
  std::vector<std::string> told;

  service::Keeper::Parts parts() {
    return {.save = [this](const Kept& kept) -> std::optional<std::string> {
              if (refuses) return "no space left";
              newest = kept.pumps.at(0).start_count;
              return std::nullopt;
            },
            .tell =
                [this](const std::string& trouble) {
                  const std::lock_guard lock{mutex};
                  told.push_back(trouble);
                }};
  }
};

}  // namespace

TEST_CASE("keeper: settled means that the newest is on the disk", "[service][state][rule-23]") {
  Disk disk;
  service::Keeper keeper{disk.parts()};
  for (std::uint64_t number = 1; number <= 50; ++number) {
    keeper.keep(numbered(number));
    REQUIRE(keeper.settle(20s));
    CHECK(disk.newest == number);
  }
}

TEST_CASE("keeper: a disk that refuses is told once, and the answer does not wait for it",
          "[service][state]") {
  Disk disk;
  disk.refuses = true;
  {
    service::Keeper keeper{disk.parts()};
    keeper.keep(numbered(1));
    CHECK_FALSE(keeper.settle(20s));
    keeper.keep(numbered(2));
    CHECK_FALSE(keeper.settle(20s));
    disk.refuses = false;
  }  // the end tries once more
  CHECK(disk.newest == 2);
  REQUIRE(disk.told.size() == 2);
  CHECK(disk.told[0] == "no space left");
  CHECK(disk.told[1].empty());
}
