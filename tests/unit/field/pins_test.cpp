// Pins of the computer itself. The thread is tried on pins that are only remembered; the chip on what a real
// kernel answers where there is none.

#include "stillwell/field/board.hpp"
#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"
#include "stillwell/field/gpio_chip.hpp"
#include "stillwell/field/orders.hpp"
#include "stillwell/field/pin_thread.hpp"

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "support/catch.hpp"
#include "support/process.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using support::eventually;

namespace {

/// What the world does to the pins, and what was done with them.
struct Pins {
  std::mutex mutex;
  std::map<int, bool> level;  ///< by offset; of an output as it is driven
  std::map<int, bool> stuck;  ///< outputs that do not follow
  std::vector<PinUse> uses;   ///< as they were asked for
  std::vector<bool> writes;   ///< of any output, in their order
  std::string refusal;        ///< of the next open()
  bool gone = false;          ///< the chip answers with errors
  int opened = 0;

  template <class Change>
  auto with(Change&& change) {
    const std::lock_guard lock{mutex};
    return change(*this);
  }
};

class FakeBank final : public PinBank {
 public:
  explicit FakeBank(Pins& pins) : pins_{pins} {}

  std::optional<std::string> open(const std::vector<PinUse>& uses) override {
    const std::lock_guard lock{pins_.mutex};
    if (!pins_.refusal.empty()) return pins_.refusal;
    pins_.uses = uses;
    for (const PinUse& use : uses) {
      if (use.is_output) pins_.level[use.pin.at] = false;
    }
    ++pins_.opened;
    open_ = true;
    return std::nullopt;
  }
  void close() override { open_ = false; }
  [[nodiscard]] bool is_open() const override { return open_; }
  std::optional<bool> get(std::size_t use) override {
    const std::lock_guard lock{pins_.mutex};
    if (pins_.gone) return {};
    const int at = pins_.uses.at(use).pin.at;
    const auto stuck = pins_.stuck.find(at);
    return stuck != pins_.stuck.end() ? stuck->second : pins_.level[at];
  }
  bool set(std::size_t use, bool on) override {
    const std::lock_guard lock{pins_.mutex};
    if (pins_.gone) return false;
    pins_.level[pins_.uses.at(use).pin.at] = on;
    pins_.writes.push_back(on);
    return true;
  }

 private:
  Pins& pins_;
  bool open_ = false;
};

constexpr int kHorn = 17;
constexpr int kButton = 27;

config::Wiring yard() {
  config::Wiring wiring;
  wiring.lines = {{.id = "gpiochip0", .port = "/nowhere/gpiochip0", .carries = config::Carries::pins}};
  wiring.contacts = {{.id = "yard-horn", .line = {0}, .output = config::Pin{.at = kHorn}, .every = 100ms}};
  wiring.switches = {{.line = {0}, .every = 1s, .pin = config::Pin{.at = kButton, .pull = config::Pull::up}}};
  wiring.scan = 200ms;
  return wiring;
}

struct Bench {
  Pins pins;
  config::Wiring wiring = yard();
  Board board{{.switches = 1, .contacts = 1, .lines = 1}, {}};
  Orders orders;
  PinThread work{wiring, LineIndex{0}, board, orders, std::make_unique<FakeBank>(pins)};
  std::thread thread;

  void start() {
    thread = std::thread{[this] { work.run(); }};
  }
  ~Bench() {
    orders.stop();
    if (thread.joinable()) thread.join();
  }

  [[nodiscard]] std::optional<bool> contact() const { return board.latest().contacts.at(0).on; }
  [[nodiscard]] std::optional<bool> button() const { return board.latest().switches.at(0).closed; }
  template <class Condition>
  bool drive_until(Order order, Condition&& condition) {
    return eventually([&] {
      orders.drive({order}, now());
      return condition();
    });
  }
};

}  // namespace

TEST_CASE("pins: a contact is taken as an output and a switch with its pull", "[field][pins]") {
  Bench bench;
  bench.start();
  REQUIRE(eventually([&] { return bench.pins.with([](Pins& pins) { return pins.opened; }) == 1; }));
  const auto uses = bench.pins.with([](Pins& pins) { return pins.uses; });
  REQUIRE(uses.size() == 2);
  CHECK(uses[0].is_output);
  CHECK(uses[0].pin.at == kHorn);
  CHECK_FALSE(uses[1].is_output);
  CHECK(uses[1].pin.at == kButton);
  CHECK(uses[1].pin.pull == config::Pull::up);
}

TEST_CASE("pins: nothing is switched on before it was written off and read back", "[field][pins]") {
  Bench bench;
  bench.orders.drive({Order::on}, now());
  bench.start();
  REQUIRE(bench.drive_until(Order::on, [&] { return bench.contact() == true; }));
  const auto writes = bench.pins.with([](Pins& pins) { return pins.writes; });
  REQUIRE(writes.size() >= 2);
  CHECK_FALSE(writes[0]);
  CHECK(writes[1]);
  REQUIRE(bench.drive_until(Order::off, [&] { return bench.contact() == false; }));
  CHECK_FALSE(bench.pins.with([](Pins& pins) { return pins.level[kHorn]; }));
}

TEST_CASE("pins: a scan that hangs lets the contact drop, and one that comes back closes it again",
          "[field][pins]") {
  Bench bench;
  bench.start();
  REQUIRE(bench.drive_until(Order::on, [&] { return bench.contact() == true; }));
  // Nobody drives any more: no order says off, the age of the last one does.
  REQUIRE(eventually([&] { return bench.contact() == false; }));
  CHECK(bench.orders.newest().contacts == std::vector<Order>{Order::on});
  CHECK(bench.drive_until(Order::on, [&] { return bench.contact() == true; }));
}

TEST_CASE("pins: what is read back is told, not what was ordered", "[field][pins]") {
  Bench bench;
  bench.pins.stuck[kHorn] = true;
  bench.start();
  REQUIRE(eventually([&] { return bench.contact() == true; }));
  // Off is written for ever (rule 11).
  CHECK(eventually([&] { return bench.pins.with([](Pins& pins) { return pins.writes.size(); }) >= 3; }));
  bench.pins.with([](Pins& pins) { return pins.stuck.clear(); });
  CHECK(eventually([&] { return bench.contact() == false; }));
}

TEST_CASE("pins: a button is seen both ways long before its period is over", "[field][pins]") {
  Bench bench;
  bench.pins.level[kButton] = true;
  bench.start();
  REQUIRE(eventually([&] { return bench.button() == true; }));
  bench.pins.with([](Pins& pins) { return pins.level[kButton] = false; });
  REQUIRE(eventually([&] { return bench.button() == false; }));
  // Told again before its period is over: a debounce waits for the second reading.
  const Instant first = bench.board.latest().switches[0].at;
  REQUIRE(eventually([&] { return bench.board.latest().switches[0].at > first; }));
}

TEST_CASE("pins: a release is confirmed off, and unconfirmed when the chip fails", "[field][pins]") {
  Bench bench;
  bench.start();
  REQUIRE(bench.drive_until(Order::on, [&] { return bench.contact() == true; }));
  const Instant since = now();
  bench.orders.begin_release(since);
  CHECK(bench.board.wait_all_off(since, since + 10s));
  bench.orders.end_release();
  bench.pins.with([](Pins& pins) { return pins.gone = true; });
  REQUIRE(eventually([&] { return bench.board.latest().contacts[0].fault == Reason::no_answer; }));
  CHECK_FALSE(bench.contact().has_value());
  CHECK(eventually([&] { return bench.board.latest().switches[0].fault == Reason::no_answer; }));
}

TEST_CASE("pins: a board that cannot be had makes its contact unknown, says why, and is tried again",
          "[field][pins]") {
  Bench bench;
  bench.pins.refusal = "somebody else holds the pin";
  bench.start();
  REQUIRE(eventually([&] { return bench.board.troubles().at(0) == "somebody else holds the pin"; }));
  CHECK(bench.board.latest().contacts[0].fault == Reason::no_answer);
  CHECK(bench.board.latest().switches[0].fault == Reason::no_answer);
  bench.pins.with([](Pins& pins) { return pins.refusal.clear(); });
  CHECK(eventually([&] { return bench.contact() == false; }));
  CHECK(bench.board.troubles().at(0).empty());
}

TEST_CASE("gpio chip: a path where there is none, and one that is something else, are told in words",
          "[field][pins]") {
  const std::vector<PinUse> uses{{.pin = {.at = kHorn}, .is_output = true}};
  GpioChip none{"/dev/gpiochip-of-nowhere"};
  const auto missing = none.open(uses);
  REQUIRE(missing.has_value());
  CHECK(missing->find("/dev/gpiochip-of-nowhere: there is no such device") != std::string::npos);
  CHECK_FALSE(none.is_open());
  GpioChip other{"/dev/null"};
  const auto wrong = other.open(uses);
  REQUIRE(wrong.has_value());
  CHECK(wrong->find("pin 17 of /dev/null: it is not a GPIO chip") != std::string::npos);
  CHECK_FALSE(other.is_open());
  CHECK_FALSE(other.get(0).has_value());
  CHECK_FALSE(other.set(0, true));
}

TEST_CASE("pins: through the whole field a missing board is a trouble and no contact is confirmed",
          "[field][pins]") {
  Field field{yard(), {}};
  field.start();
  REQUIRE(eventually([&] { return !field.troubles().at(0).empty(); }));
  CHECK(field.troubles()[0].find("/nowhere/gpiochip0") != std::string::npos);
  CHECK_FALSE(field.release(100ms));
}
