// Rule 4 over a restart: the last accepted level is carried over, and so is what was refused.

#include "stillwell/site/kept.hpp"

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

Model careful_orchard() {
  Model model = support::working_orchard();
  for (Tank& tank : model.tanks)
    tank.fastest = MetresPerSecond{0.001};  // 60 mm/min
  return model;
}

/// The daemon goes and comes back; nobody but the state file knows what was.
void restart(SiteBench& bench, Duration away, std::optional<Duration> told) {
  const Kept kept = keep(bench.model, bench.memory, bench.now);
  bench.now += away;
  bench.memory = remember_nothing(bench.model);
  restore(bench.model, kept, bench.memory, bench.now, told);
}

const Level& header(const SiteBench& bench) {
  return bench.last.view.tanks[0].level;
}

SiteBench at_rest() {
  SiteBench bench{careful_orchard()};
  bench.levels = {1.2, 1.5};
  bench.scan_for(20s);
  REQUIRE(header(bench).usable());
  return bench;
}

}  // namespace

TEST_CASE("rule 4: after a restart a level counts that the water can have reached meanwhile",
          "[site][kept][interlock]") {
  SiteBench bench = at_rest();
  restart(bench, 10min, 10min);
  CHECK(bench.memory.gauges[0].accepted == Metres{1.2});  // shown, though it is old
  bench.levels[0] = 1.7;
  bench.scan_for(5s);
  CHECK(header(bench).usable());
}

TEST_CASE("rule 4: after a restart a level is a jump that the water cannot have reached",
          "[site][kept][interlock]") {
  SiteBench bench = at_rest();
  restart(bench, 2min, 2min);
  bench.levels[0] = 1.7;
  bench.scan_for(30min);
  CHECK_FALSE(header(bench).usable());
  CHECK(header(bench).reason == Reason::jump);
  CHECK(bench.command(CommandKind::accept, "header").done);
  bench.scan_for(5s);
  CHECK(header(bench).usable());
}

TEST_CASE("rule 4: a false echo that stands through a restart stays refused, whatever the clock says",
          "[site][kept][interlock]") {
  for (const std::optional<Duration> told : {std::optional<Duration>{}, std::optional<Duration>{9h}}) {
    SiteBench bench = at_rest();
    bench.levels[0] = 2.2;
    bench.scan_for(10s);
    REQUIRE(header(bench).reason == Reason::jump);
    restart(bench, 9h, told);
    bench.scan_for(1h);
    CHECK_FALSE(header(bench).usable());
    CHECK(header(bench).reason == Reason::jump);
    bench.levels[0] = 0.8;
    bench.scan_for(5s);
    CHECK(header(bench).usable());
  }
}

TEST_CASE("rule 4: when the clock cannot tell how long it was, the water may be anywhere",
          "[site][kept][interlock]") {
  SiteBench bench = at_rest();
  restart(bench, 8h, {});
  CHECK_FALSE(bench.memory.gauges[0].accepted);
  bench.levels[0] = 2.3;
  bench.scan_for(5s);
  CHECK(header(bench).usable());
}

TEST_CASE("rule 4: a level that was kept means nothing once the mounting was measured anew", "[site][kept]") {
  SiteBench bench = at_rest();
  const Kept kept = keep(bench.model, bench.memory, bench.now);
  bench.model.tanks[0].gauges[0].mounting.to_floor += Metres{0.3};
  bench.memory = remember_nothing(bench.model);
  restore(bench.model, kept, bench.memory, bench.now, 30s);
  bench.levels[0] = 1.5;
  bench.scan_for(5s);
  CHECK(header(bench).usable());
}

TEST_CASE("kept: a frozen gauge is frozen after a restart, until it moves", "[site][kept][interlock]") {
  SiteBench bench = at_rest();
  bench.model.gauges[0].rules.settle = {.noise = Metres{0.01}, .frozen_after = Metres{0.05}};
  bench.memory.gauges[0].frozen.frozen = true;
  bench.memory.gauges[0].frozen.lowest_seen = bench.memory.gauges[0].frozen.highest_seen = Metres{1.2};
  bench.memory.gauges[0].frozen.at = bench.now;
  restart(bench, 1min, 1min);
  bench.scan_for(1h);
  CHECK(header(bench).reason == Reason::frozen);
  for (int i = 0; i < 60; ++i) {
    bench.levels[0] += 0.0009;
    bench.scan();
  }
  CHECK(header(bench).usable());
}

TEST_CASE("kept: a doubt is written at once, a level with the accounts", "[site][kept]") {
  SiteBench bench = at_rest();
  const Kept before = keep(bench.model, bench.memory, bench.now);
  bench.levels[0] = 1.2005;
  bench.scan();
  const Kept moved = keep(bench.model, bench.memory, bench.now);
  CHECK(moved != before);
  CHECK(moved.guards_as(before));
  bench.levels[0] = 2.2;
  bench.scan_for(5s);
  CHECK_FALSE(keep(bench.model, bench.memory, bench.now).guards_as(before));
}
