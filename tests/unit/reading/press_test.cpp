// What counts as pressing a button.

#include "stillwell/reading/press.hpp"

#include <chrono>
#include <vector>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

struct Button {
  PressMemory memory;
  Duration debounce = 50ms;
  Instant now{1h};

  bool read(std::optional<bool> on, Duration later = 100ms) {
    now += later;
    return follow(memory, {on, on ? Reason::none : Reason::no_answer, now}, debounce);
  }
  int presses(const std::vector<std::optional<bool>>& readings) {
    int count = 0;
    for (const auto& on : readings)
      count += read(on) ? 1 : 0;
    return count;
  }
};

constexpr std::optional<bool> kUnread;

}  // namespace

TEST_CASE("press: from off to an on that lasts is one press, however long it is held", "[reading][press]") {
  Button button;
  CHECK_FALSE(button.read(false));
  CHECK_FALSE(button.read(true));
  CHECK(button.read(true));
  for (int scan = 0; scan < 1000; ++scan)
    CHECK_FALSE(button.read(true));
  CHECK(button.presses({false, true, true}) == 1);
}

TEST_CASE("press: a single reading of on is none", "[reading][press]") {
  Button button;
  CHECK(button.presses({false, true, false, true, false, true, false}) == 0);
}

TEST_CASE("press: looking again at the same reading does not make it last", "[reading][press]") {
  Button button;
  button.read(false);
  const Instant read_at = button.now + 100ms;
  for (int look = 0; look < 50; ++look)
    CHECK_FALSE(follow(button.memory, {true, Reason::none, read_at}, button.debounce));
}

TEST_CASE("press: shorter than its debounce is none, as long is one", "[reading][press]") {
  Button button;
  button.debounce = 1s;
  button.read(false);
  button.read(true);
  CHECK_FALSE(button.read(true, 999ms));
  CHECK(button.read(true, 1ms));
}

TEST_CASE("press: without a debounce the first reading of on is one", "[reading][press]") {
  Button button;
  button.debounce = 0s;
  button.read(false);
  CHECK(button.read(true));
  CHECK_FALSE(button.read(true));
}

TEST_CASE("press: found pressed at the start, or after it could not be read, is none", "[reading][press]") {
  CHECK(Button{}.presses({true, true, true}) == 0);
  CHECK(Button{}.presses({kUnread, true, true}) == 0);
  CHECK(Button{}.presses({false, kUnread, true, true}) == 0);
  CHECK(Button{}.presses({false, true, kUnread, true, true}) == 0);
  CHECK(Button{}.presses({true, true, false, true, true}) == 1);
}

TEST_CASE("press: a button that is never read is never pressed", "[reading][press]") {
  CHECK(Button{}.presses(std::vector<std::optional<bool>>(100, kUnread)) == 0);
}
