// A sump that is kept by floats alone, in the whole site: who starts, what stops it, and what is told.

#include "stillwell/site/consequences.hpp"
#include "stillwell/site/guards.hpp"

#include <chrono>

#include "support/bench_alarms.hpp"
#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr std::size_t kStop = 0;
constexpr std::size_t kStart = 1;
constexpr std::size_t kHigh = 2;
constexpr SwitchRules kRules{.stale_after = 3s};

Model sump_by_floats() {
  Model model;
  model.id = "orchard";
  model.name = "Hillside orchard";
  model.scan = 1s;
  model.lines = {Line{"shed"}, Line{"pit"}};
  for (const char* id : {"sump-stop", "sump-start", "sump-high"})
    model.switches.push_back({id, kRules, LineIndex{1}});
  model.contacts = {Contact{"drain-contact", LineIndex{0}}};
  Tank sump;
  sump.id = "sump";
  sump.name = "Sump";
  sump.floats = TankFloats{SwitchIndex{kStop}, SwitchIndex{kStart}, SwitchIndex{kHigh}};
  model.tanks = {sump};
  Pump drain;
  drain.id = "drain";
  drain.name = "Drain pump";
  drain.duty = Duty::drain;
  drain.source = TankIndex{0};
  drain.source_is_measured = false;
  drain.floats = sump.floats;
  drain.flow_rate = LitresPerSecond{1.0};
  drain.contact_within = 3s;
  drain.limits = {.off_at_least = 20s, .after_power_up = 5s};
  model.pumps = {drain};
  support::add_alarm(model, TankIndex{0}, "sump", AlarmKind::unwell);
  support::add_alarm(model, TankIndex{0}, "sump", AlarmKind::float_high);
  support::add_alarm(model, PumpIndex{0}, "drain", AlarmKind::tripped);
  support::add_alarm(model, LineIndex{1}, "pit", AlarmKind::line_down);
  for (Alarm& alarm : model.alarms)
    alarm.after = alarm.kind == AlarmKind::unwell ? 60s : 0s;
  return model;
}

/// The sump on a bench; its floats are read in every scan.
struct SumpBench : SiteBench {
  SumpBench() : SiteBench{sump_by_floats()} {
    image.local = LocalTime{.day = 20000, .minute_of_day = 600};
    image.readings.lines = {LineSample{.open = true}, LineSample{.open = true}};
  }
  void scans(Duration time) {
    for (const auto end = now + time; now < end;) {
      for (std::size_t at = 0; at < floats.size(); ++at)
        image.readings.switches[at] = {now + 1s, floats[at], floats[at] ? Reason::none : Reason::no_answer};
      scan();
    }
  }
  void stand_at(std::size_t count) {
    for (std::size_t at = 0; at < floats.size(); ++at)
      floats[at] = at < count;
  }
  [[nodiscard]] std::string text_of(EventKind kind, const std::string& of) const {
    const auto all = told(kind, of);
    return all.empty() ? "" : all.back().text;
  }
  [[nodiscard]] bool stands(const std::string& alarm) const {
    return memory.alarms.at(place_of(alarm)).active;
  }

  std::vector<std::optional<bool>> floats{false, false, false};
};

SumpBench draining() {
  SumpBench bench;
  bench.scans(30s);
  bench.stand_at(2);
  bench.scans(2s);
  REQUIRE(bench.on(0));
  bench.stand_at(1);
  bench.scans(10s);
  REQUIRE(bench.on(0));
  return bench;
}

}  // namespace

TEST_CASE("floats: the sump fills and is emptied by floats alone, and the story says so", "[site][floats]") {
  SumpBench bench = draining();
  CHECK(bench.text_of(EventKind::start, "drain") ==
        "Drain pump started: its floats see the water above both.");
  bench.stand_at(0);
  bench.scans(2s);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.text_of(EventKind::stop, "drain") ==
        "Drain pump stopped: its floats see the water below both.");
  const TankView& sump = bench.last.view.tanks[0];
  CHECK(sump.floats == FloatSight::below);
  CHECK(sump.level.quality == Quality::good);
  CHECK_FALSE(sump.contents);
  CHECK_FALSE(sump.last_level);
}

TEST_CASE("rule 2: floats that contradict each other stop the pump, and the alarm says which",
          "[site][floats][rules]") {
  SumpBench bench = draining();
  bench.floats = {false, true, false};
  bench.scans(1s);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.last.view.pumps[0].first_out == Cause::tank_unknown);
  CHECK(bench.last.view.tanks[0].level.reason == Reason::disagree);
  CHECK(bench.text_of(EventKind::quality, "sump") ==
        "Sump: floats say nothing certain: disagree; sump-stop off, sump-start on, sump-high off.");
  CHECK(bench.text_of(EventKind::alarm, "drain/tripped")
            .find("Sump: sump-stop off, sump-start on, sump-high off") != std::string::npos);
  bench.scans(61s);
  REQUIRE(bench.stands("sump/unwell"));
  CHECK(bench.text_of(EventKind::alarm, "sump/unwell")
            .find("sump-stop off, sump-start on, sump-high off. Look at its gauge or its floats") !=
        std::string::npos);
  bench.stand_at(1);
  bench.scans(2s);
  CHECK(bench.text_of(EventKind::quality, "sump") ==
        "Sump: floats good; sump-stop on, sump-start off, sump-high off.");
}

TEST_CASE("rule 2: a float that is not read any more stops the pump", "[site][floats][rules]") {
  SumpBench bench = draining();
  bench.floats[kStop].reset();
  bench.scans(6s);
  CHECK_FALSE(bench.on(0));
  CHECK(bench.last.view.pumps[0].first_out == Cause::switch_unknown);
  CHECK(bench.last.view.tanks[0].floats == FloatSight::unreadable);
  CHECK(bench.text_of(EventKind::quality, "sump").find("sump-stop unreadable (") != std::string::npos);
}

TEST_CASE("floats: the high one brings its alarm, and the pump goes on", "[site][floats]") {
  SumpBench bench = draining();
  CHECK_FALSE(bench.stands("sump/float-high"));
  bench.stand_at(3);
  bench.scans(2s);
  CHECK(bench.on(0));
  CHECK(bench.stands("sump/float-high"));
  CHECK(bench.text_of(EventKind::alarm, "sump/float-high")
            .find("Sump: float-high alarm, water has reached its high float; sump-stop on") == 0);
  // One that says nothing neither raises nor clears, and the tank is unwell for it; the pump goes on.
  bench.floats[kHigh].reset();
  bench.scans(70s);
  CHECK(bench.stands("sump/float-high"));
  CHECK(bench.stands("sump/unwell"));
  CHECK(bench.on(0));
  bench.stand_at(1);
  bench.scans(2s);
  CHECK_FALSE(bench.stands("sump/float-high"));
}

TEST_CASE("floats: a line that dies brings unwell and the trip: one root", "[site][floats]") {
  SumpBench bench = draining();
  bench.image.readings.lines[1].open = false;
  bench.floats.assign(3, std::nullopt);
  bench.scans(70s);
  for (const char* alarm : {"sump/unwell", "drain/tripped"}) {
    REQUIRE(bench.stands(alarm));
    const auto root = brought_by(bench.model, bench.memory, bench.place_of(alarm));
    REQUIRE(root);
    CHECK(bench.model.alarms[*root].id == "pit/line-down");
  }
}

TEST_CASE("floats: nothing is accounted for in a tank without a level, and nothing can be accepted",
          "[site][floats]") {
  SumpBench bench = draining();
  bench.image.local->day += 1;
  bench.scans(5s);
  const TankFigures& figures = bench.last.view.tanks[0].figures;
  CHECK_FALSE(figures.today);
  CHECK_FALSE(figures.rate);
  for (const Event& event : bench.story)
    CHECK(event.cause != "day");
  const Answer answer = bench.command(CommandKind::accept, "sump");
  CHECK_FALSE(answer.done);
  CHECK(answer.text.find("kept by floats") != std::string::npos);
}

TEST_CASE("rule 5: every float of a tank is solved at once", "[site][floats][rules]") {
  const Model model = sump_by_floats();
  for (std::size_t at = 0; at < model.switches.size(); ++at)
    CHECK(guards_a_pump(model, SwitchIndex{at}));
}
