// Rule 4: a float at a known height of a tank confirms a new steady level after a jump, and no false one.

#include "stillwell/site/levels.hpp"

#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr std::size_t kFloat = 0;

/// The header moves by 1 mm/s at most; at 1.5 m hangs a float of which an open wire looks like no water. It
/// has a second gauge where one is wanted.
Model marked_orchard(bool two_gauges = false) {
  Model model = support::working_orchard();
  for (Gauge& gauge : model.gauges) {
    gauge.rules.settle = {
        .spikes = 7, .spike_floor = spike_floor(7, Metres{0.001}, Metres{0.01}), .noise = Metres{0.01}};
  }
  for (Tank& tank : model.tanks)
    tank.fastest = MetresPerSecond{0.001};
  model.switches = {Switch{"header-float", {.broken_is_on = false, .stale_after = 3s}}};
  Tank& header = model.tanks[0];
  header.marks = {{SwitchIndex{kFloat}, {.at = Metres{1.5}, .swing = Metres{0.05}, .broken_is_on = false}}};
  header.combine.disagree = Metres{0.05};
  if (two_gauges) {
    model.gauges.push_back({"header-side", model.gauges[0].rules});
    header.gauges.push_back({GaugeIndex{model.gauges.size() - 1}, header.gauges[0].mounting});
  }
  return model;
}

/// The header is seen at 1.2 m, and its float reads as the test says.
struct MarkBench : SiteBench {
  explicit MarkBench(Model site = marked_orchard()) : SiteBench{std::move(site)} {
    levels = {1.2, 1.5};
    command(CommandKind::mode, "lift", "off");
    scans(30s);
    REQUIRE(header().usable());
  }
  void scans(Duration time) {
    for (const auto end = now + time; now < end;) {
      image.readings.switches[kFloat] = {now + 1s, is_on, is_on ? Reason::none : Reason::no_answer};
      scan();
    }
  }
  /// A lorry brings water, so fast that it is a jump.
  void refill() {
    levels[0] = 2.2;
    is_on = true;
    scans(30s);
  }
  [[nodiscard]] const Level& header() const { return last.view.tanks[0].level; }

  std::optional<bool> is_on = false;
};

}  // namespace

TEST_CASE("rule 4: a float that the water has turned confirms the level behind it",
          "[site][marks][interlock]") {
  MarkBench bench;
  bench.refill();
  REQUIRE(bench.header().usable());
  CHECK(bench.header().level->value() == Approx(2.2));
  CHECK(bench.last.view.tanks[0].refused.empty());
}

TEST_CASE("rule 4: a false echo beyond a float that does not turn stays refused",
          "[site][marks][interlock]") {
  MarkBench bench;
  bench.levels[0] = 2.2;
  bench.scans(1h);
  CHECK_FALSE(bench.header().usable());
  CHECK(bench.header().reason == Reason::jump);
  // By now the water can have come to the float by itself: that it turns tells the two apart no more.
  bench.is_on = true;
  bench.scans(1h);
  CHECK_FALSE(bench.header().usable());
}

TEST_CASE("rule 4: a float that cannot be read confirms nothing until it can", "[site][marks][interlock]") {
  MarkBench bench;
  bench.levels[0] = 2.2;
  bench.is_on.reset();
  bench.scans(1min);
  CHECK_FALSE(bench.header().usable());
  bench.is_on = true;
  bench.scans(10s);
  CHECK(bench.header().usable());
}

TEST_CASE("rule 4: a float that hangs fast confirms nothing", "[site][marks][interlock]") {
  MarkBench bench;
  bench.is_on = true;  // while the gauge goes on to see the water below it
  bench.scans(10s);
  bench.levels[0] = 2.2;
  bench.scans(1h);
  CHECK_FALSE(bench.header().usable());
}

TEST_CASE("rule 4: a float whose broken wire looks like the new level confirms nothing",
          "[site][marks][interlock]") {
  Model model = marked_orchard();
  model.tanks[0].marks[0].rules.broken_is_on = true;
  MarkBench bench{std::move(model)};
  bench.refill();
  bench.scans(1h);
  CHECK_FALSE(bench.header().usable());
  CHECK(bench.header().reason == Reason::jump);
}

TEST_CASE("rule 4: a float of the other side of a fall confirms it too", "[site][marks][interlock]") {
  Model model = marked_orchard();
  model.tanks[0].marks[0].rules.broken_is_on = true;
  MarkBench bench{std::move(model)};
  for (int second = 0; second < 900; ++second) {
    bench.levels[0] += 0.0009;
    bench.is_on = bench.levels[0] > 1.5;
    bench.scans(1s);
  }
  REQUIRE(bench.header().level->value() == Approx(2.01));
  bench.levels[0] = 0.6;
  bench.scans(20s);
  CHECK_FALSE(bench.header().usable());
  bench.is_on = false;
  bench.scans(10s);
  REQUIRE(bench.header().usable());
  CHECK(bench.header().level->value() == Approx(0.6));
}

TEST_CASE("rule 4: water that still rises faster than it can is no plateau, and its end is one",
          "[site][marks][interlock]") {
  MarkBench bench;
  bench.is_on = true;
  bench.levels[0] = 1.6;
  for (int second = 0; second < 12; ++second) {
    bench.levels[0] += 0.05;
    bench.scans(1s);
    REQUIRE((!bench.header().usable() || bench.header().level->value() < 1.3));
  }
  bench.scans(20s);
  REQUIRE(bench.header().usable());
  CHECK(bench.header().level->value() == Approx(2.2));
}

TEST_CASE("rule 4: a lone wild reading behind a turned float is not taken for the plateau",
          "[site][marks][interlock]") {
  MarkBench bench;
  bench.silent[0] = true;  // a cut cable, while the lorry fills
  bench.is_on = true;
  bench.scans(20s);
  REQUIRE_FALSE(bench.header().usable());
  bench.silent[0] = false;
  bench.levels[0] = 2.4;
  bench.scans(1s);
  bench.levels[0] = 1.8;
  bench.scans(20s);
  REQUIRE(bench.header().usable());
  CHECK(bench.header().level->value() == Approx(1.8));
}

TEST_CASE("rule 4: while another gauge is believed a float confirms none that left it",
          "[site][marks][interlock]") {
  MarkBench bench{marked_orchard(true)};
  bench.errors[0] = 1.0;
  bench.scans(20s);
  bench.is_on = true;  // a wave; for as long as a gauge may be wrong nobody holds it against the float
  bench.scans(2s);
  bench.is_on = false;
  bench.scans(20s);
  REQUIRE(bench.header().usable());
  CHECK(bench.header().level->value() == Approx(1.2));
  CHECK(bench.header().reason == Reason::jump);
}
