// From the gauges of a site to the levels of its tanks: what pumps let the water do, gauges that watch each
// other, a person's word, and what people are shown.

#include "stillwell/site/levels.hpp"

#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

/// The header is 5 m²: 60 L/min move it by 12 mm/min.
constexpr LitresPerSecond kFlow{1.0};
constexpr MetresPerSecond kOneMillimetre{0.001};

Model careful_orchard() {
  Model model = support::working_orchard();
  for (Tank& tank : model.tanks)
    tank.fastest = kOneMillimetre;
  for (Pump& pump : model.pumps)
    pump.flow_rate = kFlow;
  return model;
}

/// A second gauge beside the first on the header, and as many more as wanted.
Model with_gauges(int more) {
  Model model = careful_orchard();
  for (int i = 0; i < more; ++i) {
    model.gauges.push_back({"header-side-" + std::to_string(i), model.gauges[0].rules});
    model.tanks[0].gauges.push_back({GaugeIndex{model.gauges.size() - 1}, model.tanks[0].gauges[0].mounting});
  }
  model.tanks[0].combine.disagree = Metres{0.05};
  return model;
}

/// Shows a level to one gauge of the header alone.
void show(SiteBench& bench, std::size_t of_header, double metres) {
  const TankGauge& one = bench.model.tanks[0].gauges.at(of_header);
  bench.silent[one.gauge.at] = true;
  bench.image.readings.gauges[one.gauge.at] = {
      .at = bench.now + 1s, .value = one.mounting.to_floor - Metres{metres}, .fault = Reason::none};
}

const Level& header(const SiteBench& bench) {
  return bench.last.view.tanks[0].level;
}

}  // namespace

TEST_CASE("motion: a pump's state is what its contact and its feedback prove", "[site][motion]") {
  Model model = careful_orchard();
  model.switches = {Switch{"lift-running", {}}};
  model.pumps[0].feedback = Feedback{.input = {0}, .within = 3s};
  std::vector<PumpMemory> pumps(2);
  Readings readings;
  readings.contacts.resize(2);
  std::vector<SwitchState> switches(1);
  const auto lift = [&](Order order, std::optional<bool> contact, std::optional<bool> feedback) {
    pumps[0].order = order;
    readings.contacts[0].on = contact;
    switches[0].on = feedback;
    return motors(model, readings, switches, pumps)[0];
  };
  CHECK(lift(Order::off, false, false) == Motor::still);
  CHECK(lift(Order::on, true, true) == Motor::running);
  CHECK(lift(Order::on, true, std::nullopt) == Motor::unknown);
  CHECK(lift(Order::on, false, false) == Motor::unknown);
  CHECK(lift(Order::off, true, true) == Motor::unknown);
  CHECK(lift(Order::off, std::nullopt, false) == Motor::unknown);
}

TEST_CASE("motion: without stated flows the owner's fastest binds, either way", "[site][motion]") {
  const Model model = careful_orchard();
  const WaterMotion motion = water_motion(model, {0}, {Motor::still, Motor::still}, Metres{1.0});
  REQUIRE(motion.fastest);
  CHECK(motion.fastest->rise == kOneMillimetre);
  CHECK(motion.fastest->fall == kOneMillimetre);
  CHECK(motion.at_least == MetresPerSecond{0.0});
}

TEST_CASE("motion: stated draw and gain, and the pumps that run, make the bound sharper", "[site][motion]") {
  Model model = careful_orchard();
  model.tanks[0].draws_at_most = LitresPerSecond{0.5};
  model.tanks[0].gains_at_most = LitresPerSecond{0.0};
  const auto of_header = [&](Motor lift) {
    return water_motion(model, {0}, {lift, Motor::still}, Metres{1.0});
  };
  CHECK(of_header(Motor::still).fastest->rise == MetresPerSecond{0.0});
  CHECK(of_header(Motor::still).fastest->fall.value() == Approx(0.5 / 5000.0));
  CHECK(of_header(Motor::unknown).fastest->rise.value() == Approx(1.5 / 5000.0));
  CHECK(of_header(Motor::running).fastest->rise.value() == Approx(1.5 / 5000.0));
  model.pumps[0].flow_rate.reset();
  CHECK(of_header(Motor::running).fastest->rise == kOneMillimetre);
}

TEST_CASE("motion: what must move the water is what is sure to be more than all that may oppose it",
          "[site][motion]") {
  Model model = careful_orchard();
  const auto at_least = [&](std::size_t tank, Motor lift, Motor bore) {
    return water_motion(model, {tank}, {lift, bore}, Metres{1.0}).at_least.value();
  };
  CHECK(at_least(0, Motor::running, Motor::still) == Approx(0.5 / 5000.0));
  CHECK(at_least(0, Motor::unknown, Motor::still) == 0.0);
  CHECK(at_least(1, Motor::running, Motor::still) == 0.0);  // a spring may give what the lift drinks
  model.tanks[1].gains_at_most = LitresPerSecond{0.1};
  CHECK(at_least(1, Motor::running, Motor::still) == Approx(-0.4 / 5000.0));
  CHECK(at_least(1, Motor::running, Motor::running) == 0.0);
  CHECK(at_least(1, Motor::running, Motor::unknown) == 0.0);
  model.tanks[0].draws_at_most = LitresPerSecond{0.3};
  CHECK(at_least(0, Motor::running, Motor::still) == Approx(0.2 / 5000.0));
  model.tanks[0].draws_at_most = LitresPerSecond{0.7};
  CHECK(at_least(0, Motor::running, Motor::still) == 0.0);
}

TEST_CASE("motion: all pumps of a tank together, half as much again as their nameplates", "[site][motion]") {
  Model model = careful_orchard();
  CHECK(fastest_by_pumps(model, {0}).value() == Approx(1.5 / 5000.0));
  CHECK(fastest_by_pumps(model, {1}).value() == Approx(3.0 / 5000.0));  // the lift drinks, the bore fills
  model.pumps[1].flow_rate.reset();
  CHECK(fastest_by_pumps(model, {1}).value() == Approx(1.5 / 5000.0));
}

TEST_CASE("rule 4: a spider in front of the header's sensor never becomes a full tank",
          "[site][levels][interlock]") {
  SiteBench bench{careful_orchard()};
  bench.levels = {0.9, 1.5};
  bench.scan_for(40s);
  REQUIRE(bench.on(0));
  bench.levels[0] = 2.2;
  bench.scan_for(4s);
  CHECK_FALSE(bench.on(0));
  CHECK(header(bench).reason == Reason::jump);
  bench.scan_for(3h);
  CHECK_FALSE(header(bench).usable());
  SECTION("and goes by itself with the spider") {
    bench.levels[0] = 0.9;
    bench.scan_for(5s);
    CHECK(header(bench).usable());
  }
  SECTION("unless a person says that the tank is full") {
    CHECK(bench.command(CommandKind::accept, "header").done);
    bench.scan_for(5s);
    CHECK(header(bench).level->value() == Approx(2.2));
  }
  SECTION("whoever accepts another tank changes nothing") {
    CHECK_FALSE(bench.command(CommandKind::accept, "cistern").done);
    bench.scan_for(5s);
    CHECK_FALSE(header(bench).usable());
  }
}

TEST_CASE("rule 4: another gauge, itself believed, confirms a level that was refused",
          "[site][levels][interlock]") {
  SiteBench bench{with_gauges(1)};
  bench.levels = {1.2, 1.5};
  bench.scan_for(20s);
  REQUIRE(header(bench).quality == Quality::good);
  for (int i = 0; i < 300;
       ++i) {  // a spider, then a cut cable, and the water rises past where the spider sat
    bench.levels[0] += 0.0009;
    if (i < 20) show(bench, 0, 1.35);
    bench.scan();
  }
  CHECK(header(bench).quality == Quality::uncertain);
  bench.silent[0] = false;
  bench.scan_for(10s);
  CHECK(header(bench).quality == Quality::good);
  CHECK(header(bench).level->value() == Approx(1.47));
}

TEST_CASE("rule 4: two gauges that are both in doubt confirm nothing", "[site][levels][interlock]") {
  SiteBench bench{with_gauges(1)};
  bench.levels = {2.0, 1.5};
  bench.scan_for(20s);
  bench.levels[0] = 0.8;  // one module, one supply: both stick at the same
  bench.scan_for(1h);
  CHECK_FALSE(header(bench).usable());
  CHECK_FALSE(bench.on(0));
}

TEST_CASE("rule 4: a lone false echo of the good gauge confirms no liar", "[site][levels][interlock]") {
  Model model = with_gauges(1);
  for (Gauge& gauge : model.gauges)
    gauge.rules.settle = {.spikes = 7, .spike_floor = spike_floor(7, Metres{0.001}, Metres{0.01})};
  SiteBench bench{model};
  bench.levels = {2.0, 1.5};
  bench.scan_for(20s);
  for (int i = 0; i < 30; ++i) {
    show(bench, 0, 0.6);
    if (i == 20) show(bench, 1, 0.6);
    if (i == 21) bench.silent[bench.model.tanks[0].gauges[1].gauge.at] = false;
    bench.scan();
    REQUIRE(header(bench).level->value() == Approx(2.0));
  }
  CHECK(header(bench).reason == Reason::jump);
}

TEST_CASE("accept: while the level is known nobody's word is taken for a gauge that lies", "[site][levels]") {
  SiteBench bench{with_gauges(1)};
  bench.levels = {1.2, 1.5};
  bench.scan_for(20s);
  const auto lie = [&] {
    show(bench, 1, 1.9);
    bench.scan();
  };
  for (int i = 0; i < 10; ++i)
    lie();
  REQUIRE(bench.last.view.tanks[0].refused.size() == 1);
  CHECK(bench.last.view.tanks[0].refused[0].level.value() == Approx(1.9));
  show(bench, 1, 1.9);
  const Answer answer = bench.command(CommandKind::accept, "header");
  CHECK_FALSE(answer.done);
  CHECK(answer.text ==
        "header is known to be at 1.200 m; mend the gauge instead: header-side-0 shows 1.900 m");
  for (int i = 0; i < 10; ++i)
    lie();
  CHECK(header(bench).level->value() == Approx(1.2));
}

TEST_CASE("rule 3: a gauge that jumps alone is confirmed by nobody and its fellow goes on",
          "[site][levels][interlock]") {
  SiteBench bench{with_gauges(1)};
  bench.levels = {1.0, 1.5};
  bench.scan_for(20s);
  for (int i = 0; i < 60; ++i) {
    show(bench, 1, 1.8);
    bench.scan();
    REQUIRE(header(bench).usable());
    REQUIRE(header(bench).level->value() == Approx(1.0));
  }
  CHECK(header(bench).quality == Quality::uncertain);
  CHECK(header(bench).reason == Reason::jump);
}

TEST_CASE("rule 3: two gauges that drift apart stop the pump with disagree", "[site][levels][interlock]") {
  SiteBench bench{with_gauges(1)};
  bench.levels = {0.9, 1.5};
  bench.scan_for(40s);
  REQUIRE(bench.on(0));
  for (int i = 0; i < 80; ++i) {
    show(bench, 1, 0.9 + 0.0009 * i);
    bench.scan();
  }
  CHECK(header(bench).reason == Reason::disagree);
  CHECK_FALSE(bench.on(0));
}

TEST_CASE("levels: people are shown a calm level, pumps decide on the reading itself", "[site][levels]") {
  Model model = careful_orchard();
  model.tanks[0].smooth = 10s;
  SiteBench bench{model};
  bench.levels = {1.0, 1.5};
  bench.scan_for(20s);
  for (int i = 0; i < 20; ++i) {
    bench.levels[0] += 0.0009;
    bench.scan();
  }
  CHECK(header(bench).level->value() == Approx(bench.levels[0]));
  REQUIRE(bench.last.view.tanks[0].contents);
  const double calm = bench.last.view.tanks[0].contents->level.value();
  CHECK(calm > 1.003);
  CHECK(calm < 1.017);
  bench.silent[0] = true;
  bench.scan_for(10s);
  CHECK_FALSE(bench.last.view.tanks[0].contents);
  CHECK(bench.last.view.tanks[0].last_level->value() == Approx(bench.levels[0]));
}
