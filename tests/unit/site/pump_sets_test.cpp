// Pumps that share one duty, in a whole site: what the set keeps, tells, and never does.

#include <algorithm>
#include <chrono>
#include <string>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

/// The orchard with a spare beside its lift pump, and nothing at the bore.
Model paired(Duration stagger = 2s) {
  Model model = support::working_orchard();
  model.pumps[1] = model.pumps[0];
  model.pumps[1].id = "spare";
  model.pumps[1].name = "Spare pump";
  model.pumps[1].contact = ContactIndex{1};
  model.stagger = stagger;
  model.sets = {PumpSet{.id = "lifts", .pumps = {PumpIndex{0}, PumpIndex{1}}, .second_level = Metres{0.7}}};
  return model;
}

struct PairBench : SiteBench {
  explicit PairBench(Duration stagger = 2s) : SiteBench{paired(stagger)} { rest(); }

  void rest() {
    levels[0] = 2.0;
    scan_for(30s);
  }
  /// Both off, then the level asks: who runs?
  std::string run(double level = 0.9) {
    rest();
    levels[0] = level;
    scan_for(6s);
    return running();
  }
  [[nodiscard]] std::string running() const {
    return std::string(on(0) ? "lift " : "") + (on(1) ? "spare" : "");
  }
  [[nodiscard]] std::string last_start(const std::string& pump) const {
    const auto starts = told(EventKind::start, pump);
    return starts.empty() ? "" : starts.back().text;
  }
};

}  // namespace

TEST_CASE("pump set: the turn outlives a restart", "[site][set]") {
  PairBench bench;
  REQUIRE(bench.run() == "lift ");
  bench.restart(1min);
  CHECK(bench.run() == "spare");
  bench.restart(1min, false);
  CHECK(bench.run() == "lift ");
}

TEST_CASE("pump set: two of it never start in one instant", "[site][set]") {
  const Duration stagger = GENERATE(Duration{0}, Duration{2s});
  PairBench bench{stagger};
  bench.levels[0] = 0.5;  // both are asked for at once
  std::size_t most = 0;
  for (int second = 0; second < 10; ++second) {
    const auto& events = bench.scan().events;
    most =
        std::max(most, static_cast<std::size_t>(std::ranges::count(events, EventKind::start, &Event::kind)));
  }
  CHECK(bench.running() == "lift spare");
  CHECK(most == 1);
}

TEST_CASE("pump set: who takes whose turn is told", "[site][set]") {
  PairBench bench;
  REQUIRE(bench.run() == "lift ");
  CHECK(bench.last_start("lift").find("turn") == std::string::npos);
  bench.deaf[0] = true;
  bench.scan_for(20s);
  CHECK(bench.on(1));
  CHECK(bench.last_start("spare").ends_with("It takes the turn of lift."));
  bench.deaf[0] = false;
  bench.scan_for(20s);
  CHECK(bench.run() == "lift ");
  CHECK(bench.last_start("lift").find("turn") == std::string::npos);
  bench.rest();
  bench.command(CommandKind::mode, "lift", "off");
  CHECK(bench.run() == "spare");
  CHECK(bench.last_start("spare").find("turn") == std::string::npos);  // it was its own
  CHECK(bench.run() == "spare");
  CHECK(bench.last_start("spare").ends_with("It takes the turn of lift."));
}

TEST_CASE("pump set: a start in hand counts as one, and is no take-over", "[site][set]") {
  PairBench bench;
  bench.levels[0] = 1.5;
  bench.command(CommandKind::mode, "lift", "hand");
  bench.scan_for(5s);
  REQUIRE(bench.running() == "lift ");
  CHECK(bench.last_start("lift").find("turn") == std::string::npos);
  bench.command(CommandKind::mode, "lift", "off");
  bench.command(CommandKind::mode, "lift", "auto");
  CHECK(bench.run() == "spare");
}

TEST_CASE("rule 16: one out of service leaves its turn to the next, its tank to nobody",
          "[site][set][rules]") {
  PairBench bench;
  bench.command(CommandKind::service, "lift", "out");
  CHECK(bench.run() == "spare");
  bench.command(CommandKind::service, "header", "out");
  bench.scan_for(30s);
  CHECK(bench.running().empty());
}
