#include "stillwell/service/scan_loop.hpp"

#include <atomic>
#include <stdexcept>

#include "support/catch.hpp"

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
            .keep = [](Kept) {},
            .tell = std::move(tell),
            .minute_of_day = [] { return std::optional<int>{}; }};
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
