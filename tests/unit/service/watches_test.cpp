#include "stillwell/service/line_watch.hpp"
#include "stillwell/service/thread_watch.hpp"

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

TEST_CASE("line watch: a line that closes is told once with its reason, and that it is open again",
          "[service]") {
  const Model model{.lines = {{"shed"}, {"mast"}}};
  service::LineWatch watch;
  CHECK(watch.changes(model, {"", ""}).empty());
  const auto closed = watch.changes(model, {"cannot open /dev/ttyUSB0: No such file or directory", ""});
  REQUIRE(closed.size() == 1);
  CHECK(closed[0].of == "shed");
  CHECK(closed[0].cause == "line-down");
  CHECK(closed[0].text == "line shed: cannot open /dev/ttyUSB0: No such file or directory");
  CHECK(watch.changes(model, {"cannot open /dev/ttyUSB0: No such file or directory", ""}).empty());
  const auto open = watch.changes(model, {"", ""});
  REQUIRE(open.size() == 1);
  CHECK(open[0].cause == "line-open");
}

TEST_CASE("thread watch: one thread that stands still for too long is noticed", "[service][watchdog]") {
  const Instant begin{1h};
  service::ThreadWatch watch{1s};
  const Duration patience = service::ThreadWatch::kStuckAfter + 1s;
  CHECK(watch.all_move({1, 1}, {.scans = 1}, begin));
  CHECK(watch.all_move({2, 1}, {.scans = 2}, begin + patience - 1ms));
  CHECK_FALSE(watch.all_move({3, 1}, {.scans = 3}, begin + patience));
  CHECK(watch.all_move({4, 2}, {.scans = 4}, begin + patience + 1s));
}

TEST_CASE("thread watch: a scan that waits a minute for its timer is not stuck", "[service][watchdog]") {
  const Instant begin{1h};
  service::ThreadWatch watch{60s};
  CHECK(watch.all_move({1}, {.scans = 1}, begin));
  CHECK(watch.all_move({2}, {.scans = 1}, begin + 60s));
  CHECK_FALSE(watch.all_move({3}, {.scans = 1}, begin + 60s + service::ThreadWatch::kStuckAfter));
}
