// Rule 19: every pump off at once, and held so until a person resets each.

#include <chrono>

#include "support/bench_alarms.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr std::size_t kHeader = 0;
constexpr std::size_t kCistern = 1;
constexpr std::size_t kLift = 0;
constexpr std::size_t kBore = 1;

/// Both pumps have just started, within their shortest run.
SiteBench at_work() {
  SiteBench bench;
  bench.levels = {1.2, 1.2};
  bench.scan_for(30s);
  bench.levels[kHeader] = 0.9;
  bench.levels[kCistern] = 0.9;
  bench.scan();
  REQUIRE(bench.on(kLift));
  REQUIRE(bench.on(kBore));
  bench.story.clear();
  return bench;
}

}  // namespace

TEST_CASE("release: every pump stops in the scan that carries it, and stays off until each is reset",
          "[site][release][rule-19]") {
  SiteBench bench = at_work();
  const Answer answer = bench.command(CommandKind::release, "all");
  CHECK(answer.done);
  CHECK(answer.text.find("lift") != std::string::npos);
  for (const std::size_t pump : {kLift, kBore}) {
    CHECK_FALSE(bench.on(pump));
    CHECK(bench.last.view.pumps[pump].held_by == std::vector<Cause>{Cause::command});
  }
  REQUIRE(bench.told(EventKind::stop, "lift").size() == 1);
  CHECK(bench.told(EventKind::stop, "lift").front().cause == "command");
  bench.scan_for(1h);
  CHECK_FALSE(bench.on(kLift));
  CHECK_FALSE(bench.on(kBore));
  CHECK(bench.command(CommandKind::reset, "lift").done);
  bench.scan_for(1min);
  CHECK(bench.on(kLift));
  CHECK_FALSE(bench.on(kBore));
}

TEST_CASE("release: neither hand nor auto nor a restart ends it", "[site][release][rule-19][rule-23]") {
  SiteBench bench = at_work();
  REQUIRE(bench.command(CommandKind::release, "all").done);
  CHECK(bench.command(CommandKind::mode, "lift", "hand").done);
  bench.scan_for(5min);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.command(CommandKind::mode, "lift", "auto").done);
  bench.scan_for(5min);
  CHECK_FALSE(bench.on(kLift));
  bench.restart(1min);
  bench.scan_for(5min);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.command(CommandKind::reset, "lift").done);
  bench.scan_for(1min);
  CHECK(bench.on(kLift));
}

TEST_CASE("release: the network neither releases nor ends it", "[site][release][rule-15]") {
  SiteBench bench = at_work();
  CHECK_FALSE(bench.ask({.kind = CommandKind::release, .target = "all", .origin = Origin::network}).done);
  CHECK(bench.on(kLift));
  REQUIRE(bench.command(CommandKind::release, "all").done);
  const Answer answer = bench.ask({.kind = CommandKind::reset, .target = "lift", .origin = Origin::network});
  CHECK_FALSE(answer.done);
  CHECK(answer.text.find("on the spot") != std::string::npos);
  bench.scan_for(5min);
  CHECK_FALSE(bench.on(kLift));
}

TEST_CASE("release: it means every pump, and is refused where there is none", "[site][release]") {
  SiteBench bench = at_work();
  CHECK_FALSE(bench.command(CommandKind::release, "lift").done);
  CHECK(bench.on(kLift));
}
