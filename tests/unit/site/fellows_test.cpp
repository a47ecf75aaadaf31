// What pumps are to each other: a dry source is dry for all, what is needed runs first, and no two start
// together.

#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr std::size_t kLift = 0;
constexpr std::size_t kBore = 1;

/// Both pumps lift from the cistern into the header; neither feeds it.
Model two_lifts() {
  Model model = support::working_orchard();
  model.pumps[kBore].tank = TankIndex{0};
  model.pumps[kBore].source = TankIndex{1};
  for (Pump& pump : model.pumps) {
    pump.dry_run.rise = RiseGuard{MetresPerSecond{0.01 / 60.0}, 1min};
    pump.dry_run.retry = {.after = 10min, .times = 3, .proved_by = 10min};
  }
  return model;
}

/// Asks for a run, the header rising by itself when `rises`.
void fill(SiteBench& bench, Duration time, bool rises) {
  for (const auto end = bench.now + time; bench.now < end;) {
    if (rises) bench.levels[0] += 0.0005;
    bench.scan();
  }
}

bool is_held(const SiteBench& bench, std::size_t pump, Cause cause) {
  const auto& held = bench.last.view.pumps[pump].held_by;
  return std::find(held.begin(), held.end(), cause) != held.end();
}

}  // namespace

TEST_CASE("rule 8: one pump that runs dry holds every other one on its suction", "[site][rules][fellows]") {
  Model model = two_lifts();
  model.pumps[kBore].dry_run.rise.reset();
  SiteBench bench{model};
  bench.levels = {0.8, 1.5};
  fill(bench, 30s, true);
  REQUIRE(bench.on(kLift));
  REQUIRE(bench.on(kBore));
  fill(bench, 2min, false);
  CHECK(bench.last.view.pumps[kLift].state == PumpState::tripped);
  CHECK_FALSE(bench.on(kLift));
  CHECK_FALSE(bench.on(kBore));
  CHECK(is_held(bench, kBore, Cause::peer_dry));
  bench.command(CommandKind::reset, "lift");
  fill(bench, 1min, true);
  CHECK(bench.on(kBore));
}

TEST_CASE("rule 8: a pump on another suction does not mind", "[site][rules][fellows]") {
  Model model = two_lifts();
  model.pumps[kBore].source.reset();
  model.pumps[kBore].dry_run.rise.reset();
  SiteBench bench{model};
  bench.levels = {0.8, 1.5};
  fill(bench, 30s, true);
  fill(bench, 2min, false);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.on(kBore));
}

TEST_CASE("needs: it starts when what it needs is proved on, and stops with it", "[site][rules][fellows]") {
  Model model = support::working_orchard();
  model.pumps[kLift].needs = {PumpIndex{kBore}};
  SiteBench bench{model};
  bench.levels = {0.8, 1.95};  // the header asks, the cistern does not
  bench.scan_for(1min);
  CHECK_FALSE(bench.on(kLift));
  CHECK(is_held(bench, kLift, Cause::needs));
  bench.levels[1] = 0.8;
  bench.scan();
  bench.scan();
  REQUIRE(bench.on(kBore));
  CHECK_FALSE(bench.on(kLift));  // ordered is not proved
  bench.scan_for(1min);
  CHECK(bench.on(kLift));
  bench.deaf[kBore] = true;
  bench.scan_for(10s);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.told(EventKind::stop, "lift").back().cause == "needs");
}

TEST_CASE("no two pumps start together, and the second one waits its time", "[site][rules][fellows]") {
  Model model = support::working_orchard();
  model.stagger = 7s;
  SiteBench bench{model};
  bench.levels = {0.8, 0.8};
  bench.scan_for(2min);
  REQUIRE(bench.on(kLift));
  REQUIRE(bench.on(kBore));
  const Duration between = *bench.memory.pumps[kBore].last_start - *bench.memory.pumps[kLift].last_start;
  CHECK(between >= 7s);
  CHECK(between <= 8s);
}

TEST_CASE("rule 22: after a restart a pump that ran dry rests anew, and its tries are not forgotten",
          "[site][rules][fellows]") {
  SiteBench bench{two_lifts()};
  bench.command(CommandKind::mode, "bore", "off");
  bench.levels = {0.8, 1.5};
  fill(bench, 30s, true);
  REQUIRE(bench.on(kLift));
  fill(bench, 2min, false);
  REQUIRE(bench.last.view.pumps[kLift].state == PumpState::tripped);
  bench.scan_for(8min);
  bench.restart(1h);
  fill(bench, 9min, false);
  CHECK_FALSE(bench.on(kLift));
  CHECK(is_held(bench, kLift, Cause::no_rise));
  fill(bench, 2min, true);
  CHECK(bench.on(kLift));
  CHECK(bench.memory.pumps[kLift].dry_run.failures == 1);
}

TEST_CASE("rule 17: hand does not outlive a restart", "[site][rules][hand]") {
  SiteBench bench{support::working_orchard()};
  bench.levels = {1.5, 1.5};
  bench.scan_for(1min);
  CHECK(bench.command(CommandKind::mode, "lift", "off").done);
  CHECK(bench.command(CommandKind::mode, "lift", "hand").done);
  bench.scan_for(1min);
  REQUIRE(bench.on(kLift));
  bench.restart(1s);
  bench.scan_for(5min);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.memory.pumps[kLift].mode == Mode::off);
}
