// Rule 18: a proof test is held by the site under a lease of 5 s that ends in off; there is one at a time,
// and none over the network.

#include "stillwell/site/proof.hpp"

#include <algorithm>
#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

/// The lift in hand, and running, under a proof of it.
SiteBench proving() {
  SiteBench bench;
  bench.scan_for(30s);
  REQUIRE(bench.command(CommandKind::prove, "lift", "begin").done);
  REQUIRE(bench.command(CommandKind::prove, "lift", "hand").done);
  REQUIRE(bench.command(CommandKind::prove, "lift", "keep").done);
  REQUIRE(bench.on(0));
  bench.story.clear();
  return bench;
}

}  // namespace

TEST_CASE("proof: it begins with the pump off, and that is told", "[site][proof][rule-18]") {
  SiteBench bench;
  bench.levels = {0.9, 1.5};
  bench.scan_for(30s);
  REQUIRE(bench.on(0));
  CHECK(bench.command(CommandKind::prove, "lift", "begin").done);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.last.view.pumps[0].mode == Mode::off);
  CHECK(bench.told(EventKind::command, "lift").size() == 1);
}

TEST_CASE("proof: a forced cause trips the pump, and is gone when it is freed", "[site][proof][rule-18]") {
  SiteBench bench = proving();
  CHECK(bench.command(CommandKind::prove, "lift", "source-low").done);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.last.view.pumps[0].first_out == Cause::source_low);
  REQUIRE(bench.told(EventKind::trip, "lift").size() == 1);
  CHECK(bench.command(CommandKind::prove, "lift", "free").done);
  CHECK(bench.last.view.pumps[0].state != PumpState::tripped);
}

TEST_CASE("proof: the tank itself is shown as it is while its pump is told otherwise",
          "[site][proof][rule-18]") {
  SiteBench bench = proving();
  CHECK(bench.command(CommandKind::prove, "lift", "source-low").done);
  CHECK(bench.last.view.tanks[1].level.level->value() > 1.0);
}

TEST_CASE("proof: a lease that is not renewed ends in off within its 5 s", "[site][proof][rule-18]") {
  for (const char* step : {"keep", "source-low"}) {
    SiteBench bench = proving();
    REQUIRE(bench.command(CommandKind::prove, "lift", step).done);
    bench.scan_for(4s);
    CHECK(bench.memory.proof);
    CHECK(bench.last.view.pumps[0].mode == Mode::hand);
    bench.scan();
    CHECK_FALSE(bench.memory.proof);
    CHECK_FALSE(bench.on(0));
    CHECK(bench.last.view.pumps[0].mode == Mode::off);
    const auto told = bench.told(EventKind::service, "lift");
    CHECK(std::any_of(told.begin(), told.end(), [](const Event& one) { return one.cause == "proof-left"; }));
    CHECK_FALSE(bench.command(CommandKind::prove, "lift", "keep").done);
  }
}

TEST_CASE("proof: renewed, it stands for as long as it takes and fills no journal",
          "[site][proof][rule-18]") {
  SiteBench bench = proving();
  bench.story.clear();
  for (int times = 0; times < 30; ++times) {
    CHECK(bench.command(CommandKind::prove, "lift", "keep").done);
    bench.scan_for(3s);
  }
  CHECK(bench.told(EventKind::command, "lift").empty());
  CHECK(bench.memory.proof);
}

TEST_CASE("proof: at its end the pump is off, and the answer says how it is put back",
          "[site][proof][rule-18]") {
  SiteBench bench = proving();
  const Answer answer = bench.command(CommandKind::prove, "lift", "end");
  CHECK(answer.done);
  CHECK(answer.text.find("mode lift auto") != std::string::npos);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.last.view.pumps[0].mode == Mode::off);
  CHECK_FALSE(bench.memory.proof);
}

TEST_CASE("proof: it does not survive a restart, and neither does hand: the pump is off",
          "[site][proof][rule-18]") {
  SiteBench bench = proving();
  bench.restart(10s);
  bench.scan_for(60s);
  CHECK_FALSE(bench.memory.proof);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.last.view.pumps[0].mode == Mode::off);
}

TEST_CASE("proof: there is one at a time, of a pump that there is, and none over the network",
          "[site][proof][rule-18]") {
  SiteBench bench = proving();
  CHECK_FALSE(bench.command(CommandKind::prove, "lift", "begin").done);
  CHECK_FALSE(bench.command(CommandKind::prove, "bore", "begin").done);
  CHECK(bench.command(CommandKind::prove, "lift", "keep").done);  // what is refused renews no lease
  CHECK_FALSE(bench.command(CommandKind::prove, "bore", "source-low").done);
  CHECK_FALSE(bench.command(CommandKind::prove, "header", "begin").done);
  CHECK_FALSE(bench
                  .ask({.kind = CommandKind::prove,
                        .target = "lift",
                        .argument = "source-low",
                        .origin = Origin::network})
                  .done);
  CHECK(bench.on(0));
}

TEST_CASE("proof: what is no step, does not concern the pump or is not forced is refused with why",
          "[site][proof][rule-18]") {
  SiteBench bench = proving();
  for (const auto& [step, says] :
       {std::pair{"source low", "not a step"}, std::pair{"no-flow", "cannot come up"},
        std::pair{"hand-ended", "time alone"}, std::pair{"mode-off", "switches"}}) {
    INFO(step);
    const Answer answer = bench.command(CommandKind::prove, "lift", step);
    CHECK_FALSE(answer.done);
    CHECK(answer.text.find(says) != std::string::npos);
    CHECK(bench.on(0));
  }
}

TEST_CASE("proof: a pump that is locked out, out of service or has failed of late is not proved",
          "[site][proof][rule-18]") {
  SiteBench bench;
  bench.scan_for(30s);
  bench.memory.pumps[0].dry_run.failures = 1;
  CHECK_FALSE(bench.command(CommandKind::prove, "lift", "begin").done);
  bench.memory.pumps[0].dry_run.failures = 0;
  bench.memory.pumps[0].feedback_failures = 1;
  CHECK_FALSE(bench.command(CommandKind::prove, "lift", "begin").done);
  bench.memory.pumps[0].feedback_failures = 0;
  bench.memory.pumps[0].lock_out = Cause::over_time;
  CHECK_FALSE(bench.command(CommandKind::prove, "lift", "begin").done);
  bench.memory.pumps[0].lock_out.reset();
  bench.memory.tanks_out[1] = true;
  CHECK_FALSE(bench.command(CommandKind::prove, "lift", "begin").done);
  bench.memory.tanks_out[1] = false;
  CHECK(bench.command(CommandKind::prove, "lift", "begin").done);
}

TEST_CASE("proof: whoever sets the mode of the pump meanwhile is obeyed, and the proof is over",
          "[site][proof][rule-15][rule-18]") {
  for (const auto& [mode, now] : {std::pair{"off", Mode::off}, std::pair{"auto", Mode::automatic}}) {
    SiteBench bench = proving();
    REQUIRE(bench.command(CommandKind::prove, "lift", "source-low").done);
    const Answer answer = bench.command(CommandKind::mode, "lift", mode);
    CHECK(answer.done);
    CHECK(answer.text.find("broken off") != std::string::npos);
    CHECK_FALSE(bench.memory.proof);
    CHECK_FALSE(bench.command(CommandKind::prove, "lift", "hand").done);
    bench.scan_for(10s);
    CHECK(bench.last.view.pumps[0].mode == now);
    CHECK(bench.last.view.pumps[0].state != PumpState::tripped);
  }
  SiteBench bench = proving();
  REQUIRE(bench.command(CommandKind::mode, "bore", "off").done);
  CHECK(bench.memory.proof);
}

TEST_CASE("proof: it takes the pump out of service while it says so, and is not the one who took it out",
          "[site][proof][rule-16][rule-18]") {
  SiteBench bench = proving();
  CHECK(bench.command(CommandKind::prove, "lift", "service-out").done);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.last.view.pumps[0].state == PumpState::out_of_service);
  CHECK_FALSE(bench.memory.pumps[0].out_of_service);
  CHECK_FALSE(bench.command(CommandKind::service, "lift", "in").done);
  CHECK(bench.command(CommandKind::prove, "lift", "free").done);
  CHECK(bench.last.view.pumps[0].state != PumpState::out_of_service);
  CHECK(bench.command(CommandKind::prove, "lift", "service-out").done);
  bench.scan_for(6s);  // nobody keeps it up
  CHECK(bench.last.view.pumps[0].state != PumpState::out_of_service);
}

TEST_CASE("proof: what a person takes out of service meanwhile stays out, and the proof is over",
          "[site][proof][rule-15][rule-16][rule-18]") {
  for (const char* step : {"keep", "service-out"}) {
    for (const char* taken : {"lift", "header", "cistern"}) {
      INFO(taken << " during " << step);
      SiteBench bench = proving();
      REQUIRE(bench.command(CommandKind::prove, "lift", step).done);
      const Answer answer = bench.command(CommandKind::service, taken, "out");
      CHECK(answer.done);
      CHECK(answer.text.find("broken off") != std::string::npos);
      CHECK_FALSE(bench.memory.proof);
      for (const char* late : {"free", "off", "end"})
        CHECK_FALSE(bench.command(CommandKind::prove, "lift", late).done);
      CHECK_FALSE(bench.on(0));
      CHECK(bench.last.view.pumps[0].state == PumpState::out_of_service);
      CHECK(bench.command(CommandKind::service, taken, "in").done);
      bench.scan_for(60s);
      CHECK_FALSE(bench.on(0));  // hand did not outlast the proof
      CHECK(bench.last.view.pumps[0].mode == Mode::off);
    }
  }
}

TEST_CASE("proof: what somebody takes out of service elsewhere leaves it alone", "[site][proof][rule-18]") {
  SiteBench bench = proving();
  REQUIRE(bench.command(CommandKind::service, "bore", "out").done);
  CHECK(bench.memory.proof);
  CHECK(bench.on(0));
}
