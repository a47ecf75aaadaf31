#include "stillwell/service/scan_loop.hpp"

#include <atomic>
#include <stdexcept>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

/// A site without instruments, and everything that the loop needs around it.
struct Bench {
  Model model{.id = "orchard", .scan = 5ms};
  config::Wiring wiring;
  service::Bell bell;
  service::Inbox inbox{bell};
  field::Field field{wiring, [] {}};
  std::atomic<int> told{0};

  service::ScanLoop::Parts parts(std::function<void(const Outcome&)> tell) {
    return {.model = model,
            .field = field,
            .inbox = inbox,
            .bell = bell,
            .keep = [](Kept, Instant) {},
            .tell = std::move(tell),
            .wall = [] { return std::optional<Stamp>{}; },
            .is_kept = [](Instant) { return true; },
            .durable = [] { return Instant{}; }};
  }
};

}  // namespace

TEST_CASE("scan: it goes on by its own timer and hands every outcome over", "[service][scan]") {
  Bench bench;
  service::ScanLoop loop{bench.parts([&](const Outcome&) { ++bench.told; }), remember_nothing(bench.model)};
  loop.start();
  while (bench.told < 5)
    std::this_thread::yield();
  loop.stop();
  CHECK(loop.health().scans >= 5);
  CHECK(loop.is_well());
}

TEST_CASE("scan: a ring is solved at once, long before the timer", "[service][scan][rule-5]") {
  Bench bench;
  bench.model.scan = 1h;
  service::ScanLoop loop{bench.parts([&](const Outcome&) { ++bench.told; }), remember_nothing(bench.model)};
  loop.start();
  while (bench.told < 1)
    std::this_thread::yield();
  bench.bell.ring();
  while (bench.told < 2)
    std::this_thread::yield();
  loop.stop();
  CHECK(loop.health().missed == 0);
}

TEST_CASE("scan: a command is carried out and answered at once, long before the timer",
          "[service][command]") {
  Bench bench;
  bench.model.scan = 1h;
  service::ScanLoop loop{bench.parts([](const Outcome&) {}), remember_nothing(bench.model)};
  loop.start();
  const Answer answer =
      bench.inbox.ask({.kind = CommandKind::mode, .target = "lift", .argument = "off"}, 10s);
  loop.stop();
  CHECK_FALSE(answer.done);
  CHECK(answer.text.find("no pump is named 'lift'") != std::string::npos);
}

TEST_CASE("scan: what guards is handed over once, and everything at an orderly end", "[service][state]") {
  Bench bench;
  bench.model = support::orchard_model();
  bench.model.scan = 5ms;
  bench.model.pumps.clear();  // no wires here
  bench.model.contacts.clear();
  std::vector<Kept> handed;
  auto parts = bench.parts([&](const Outcome&) { ++bench.told; });
  parts.keep = [&](Kept kept, Instant) { handed.push_back(std::move(kept)); };
  parts.wall = [] { return std::optional{support::some_stamp()}; };
  service::ScanLoop loop{std::move(parts), remember_nothing(bench.model)};
  loop.start();
  while (bench.told < 10)
    std::this_thread::yield();
  loop.stop();
  // The first look; then the accounts change with every scan and wait, and go at the end.
  REQUIRE(handed.size() == 2);
  CHECK(handed[0].guards_as(handed[1]));
  CHECK(handed[1].accounts.tanks[0].account.today->unknown >
        handed[0].accounts.tanks[0].account.today->unknown);
}

TEST_CASE("scan: a fault of our own ends the loop and says so", "[service][fault]") {
  Bench bench;
  service::ScanLoop loop{bench.parts([](const Outcome&) { throw std::runtime_error("made to fail"); }),
                         remember_nothing(bench.model)};
  loop.start();
  while (loop.is_well())
    std::this_thread::yield();
  loop.stop();
  CHECK_FALSE(loop.is_well());
}
