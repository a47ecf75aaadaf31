// The shipped sump with two pumps that take turns, on real bytes: two modules on one serial line.

#include "support/catch.hpp"
#include "support/cause_stage.hpp"

using support::CauseStage;
using support::eventually;
using support::Gateway;

namespace {

/// So little is pumped that no level but an ordered one is reached.
const std::string kWater =
    "seed: 1\n"
    "tanks: { sump: { start: 40 % } }\n"
    "pumps: { drain-a: 1 L/min, drain-b: 1 L/min }\n";

const std::string kLimits = "limits: { off_at_least: 60 s, starts_per_hour: 10";
const std::string kQuickLimits = "limits: { off_at_least: 5 s, after_power_up: 0 s, starts_per_hour: 0";
const Gateway::Edits kQuick{
    {"  id: packing-shed\n", "  id: packing-shed\n  scan: 200 ms\n  stagger: 500 ms\n"},
    {kLimits, kQuickLimits},
    {"full: 1.2 m", "full: 1.2 m\n    settle: { fastest: 10000 mm/min, noise: 50 cm }"}};

struct Pair {
  Pair() : gateway{"packing-shed.yaml", kWater, kQuick}, stage{gateway, {"drain-a", "drain-b"}} {
    for (const char* pump : {"drain-a", "drain-b"})
      REQUIRE(gateway.command({"mode", pump, "auto"}).code == 0);
  }

  /// Both seen standing, then the water up to here.
  void rise(const std::string& level) {
    gateway.order("set sump 15 %");
    CHECK(eventually([&] { return !stage.turns("drain-a") && !stage.turns("drain-b"); }));
    CHECK(stage.becomes("drain-a", "state", "stopped"));
    CHECK(stage.becomes("drain-b", "state", "stopped"));
    gateway.order("set sump " + level);
  }
  bool runs_alone(const std::string& pump, const std::string& other) {
    return eventually([&] { return stage.turns(pump); }) && !stage.turns(other) &&
           !stage.coil(other + "-contact");
  }

  Gateway gateway;
  CauseStage stage;
};

}  // namespace

TEST_CASE("pump set: two pumps take turns on the wire, and run together above the second level",
          "[e2e][set]") {
  Pair pair;
  pair.rise("62 %");
  CHECK(pair.runs_alone("drain-a", "drain-b"));
  pair.rise("62 %");
  CHECK(pair.runs_alone("drain-b", "drain-a"));
  pair.gateway.order("set sump 78 %");
  CHECK(eventually([&] { return pair.stage.turns("drain-a") && pair.stage.turns("drain-b"); }));
  pair.gateway.order("set sump 15 %");
  CHECK(
      eventually([&] { return !pair.stage.coil("drain-a-contact") && !pair.stage.coil("drain-b-contact"); }));
  CHECK(pair.gateway.journal({R"("kind":"trip")"}).empty());
}

TEST_CASE("rule 8: the other pump takes over on the wire from one that does not follow or cannot be reached",
          "[e2e][set][rules]") {
  const auto* fault = GENERATE("open-circuit", "exception");
  Pair pair;
  pair.rise("62 %");
  CHECK(pair.runs_alone("drain-a", "drain-b"));
  pair.gateway.order("fault drain-a-contact " + std::string{fault});
  CHECK(eventually([&] { return pair.stage.turns("drain-b"); }));
  CHECK(pair.gateway.journal_tells({R"("kind":"start","of":"drain-b")", "It takes the turn of drain-a."}));
  CHECK(eventually([&] { return !pair.stage.turns("drain-a"); }));
}
