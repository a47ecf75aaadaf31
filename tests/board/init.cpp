// The first and only program of an emulated board: the pins on a real kernel's real GPIO chip. Says a line
// for each promise, ok or not, and at the end whether all were kept.

#include "stillwell/field/board.hpp"
#include "stillwell/field/clock.hpp"
#include "stillwell/field/gpio_chip.hpp"
#include "stillwell/field/orders.hpp"
#include "stillwell/field/pin_thread.hpp"

#include <chrono>
#include <cstdio>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include <sys/mount.h>
#include <sys/reboot.h>
#include <unistd.h>

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;

namespace {

// The board's PL061 has eight pins; the fourth is its power button.
const char* const kChip = "/dev/gpiochip0";
constexpr int kRelay = 5;
constexpr int kFloat = 6;
constexpr int kNoSuchPin = 200;

int failures = 0;

void check(bool holds, const std::string& promise) {
  std::printf("%s %s\n", holds ? "ok    " : "NOT OK", promise.c_str());
  if (!holds) ++failures;
}

PinUse output(int at, bool active_low = false) {
  return {.pin = {.at = at, .active_low = active_low}, .is_output = true};
}

bool says(const std::optional<std::string>& failure, const char* words) {
  if (failure) std::printf("       %s\n", failure->c_str());
  return failure && failure->find(words) != std::string::npos;
}

void check_chip() {
  GpioChip chip{kChip};
  const auto failure = chip.open({output(kRelay), {.pin = {.at = kFloat}}});
  if (failure) std::printf("       %s\n", failure->c_str());
  check(!failure && chip.is_open(), "an output and an input are taken");
  check(chip.get(0) == false, "an output is off from the first moment");
  check(chip.set(0, true) && chip.get(0) == true, "on is written and read back");
  check(chip.set(0, false) && chip.get(0) == false, "off is written and read back");
  check(chip.get(1).has_value(), "an input is read");
  check(!chip.set(1, true), "an input is not written");

  GpioChip second{kChip};
  check(says(second.open({output(kRelay)}), "somebody else holds the pin"), "a pin is given to one only");
  check(says(second.open({output(kNoSuchPin)}), "no such pin"), "a pin that is not there is told");
  check(!second.open({output(4), {.pin = {.at = 7}}}).has_value(), "other pins of the chip are free");
  second.close();

  chip.close();
  check(!second.open({output(kRelay, true)}).has_value(), "a pin that was given back can be taken");
  check(second.get(0) == false, "active: low: off from the first moment, too");
}

bool wait_for(const Board& board, std::optional<bool> on, Orders& orders, std::optional<Order> drive) {
  for (int n = 0; n < 200; ++n) {
    if (drive) orders.drive({*drive}, now());
    if (board.latest().contacts[0].on == on) return true;
    std::this_thread::sleep_for(50ms);
  }
  return false;
}

void check_thread() {
  config::Wiring wiring;
  wiring.lines = {{.id = "gpiochip0", .port = kChip, .carries = config::Carries::pins}};
  wiring.contacts = {{.id = "relay", .line = {0}, .output = config::Pin{.at = kRelay}, .every = 200ms}};
  wiring.switches = {{.line = {0}, .every = 1s, .pin = config::Pin{.at = kFloat}}};
  wiring.scan = 1s;
  Board board{{.switches = 1, .contacts = 1, .lines = 1}, {}};
  Orders orders;
  PinThread work{wiring, LineIndex{0}, board, orders, std::make_unique<GpioChip>(kChip)};
  std::thread thread{[&] { work.run(); }};
  check(wait_for(board, false, orders, Order::off), "a contact is confirmed off");
  check(wait_for(board, true, orders, Order::on), "and on when it is ordered");
  check(board.latest().switches[0].closed.has_value(), "a switch is read");
  check(wait_for(board, false, orders, std::nullopt), "and drops when nobody orders it any more");
  check(wait_for(board, true, orders, Order::on), "and closes again when somebody does");
  const Instant since = now();
  orders.begin_release(since);
  check(board.wait_all_off(since, since + 10s), "a release is confirmed");
  orders.stop();
  thread.join();
}

}  // namespace

int main() {
  mount("dev", "/dev", "devtmpfs", 0, nullptr);
  std::setvbuf(stdout, nullptr, _IOLBF, 0);
  check_chip();
  check_thread();
  std::printf("%s\n", failures == 0 ? "board: every promise kept" : "board: promises broken");
  sync();
  reboot(RB_POWER_OFF);
}
