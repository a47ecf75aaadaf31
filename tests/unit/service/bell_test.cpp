#include "stillwell/service/bell.hpp"

#include "stillwell/field/clock.hpp"

#include <thread>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

TEST_CASE("bell: a ring before the wait is not lost", "[service][scan]") {
  service::Bell bell;
  bell.ring();
  const Instant before = field::now();
  CHECK(bell.wait_until(before + 1h));
}

TEST_CASE("bell: without a ring the wait ends when it is due, not before", "[service][scan]") {
  service::Bell bell;
  const Instant due = field::now() + 20ms;
  CHECK(bell.wait_until(due));
  CHECK(field::now() >= due);
}

TEST_CASE("bell: several rings are one wake", "[service][scan]") {
  service::Bell bell;
  bell.ring();
  bell.ring();
  const Instant due = field::now() + 20ms;
  CHECK(bell.wait_until(due));
  CHECK(bell.wait_until(due));
  CHECK(field::now() >= due);
}

TEST_CASE("bell: closing ends a wait from another thread", "[service][scan]") {
  service::Bell bell;
  bool open = true;
  std::thread waiter{[&] { open = bell.wait_until(field::now() + 1h); }};
  bell.close();
  waiter.join();
  CHECK_FALSE(open);
}
