// The shipped sump that is kept by floats alone, on real bytes: simulated water turns the floats of a module
// on a serial line, and the daemon switches the pump by what it reads there.

#include "support/catch.hpp"
#include "support/cause_stage.hpp"
#include <nlohmann/json.hpp>

using stillwell::Cause;
using support::CauseStage;
using support::Ends;
using support::eventually;
using support::Gateway;

namespace {

/// The pit is 1 m deep and holds 500 L. `pump`: what the drain pump moves.
std::string water(const std::string& pump) {
  return "seed: 1\n"
         "tanks: { sump: { start: 40 % } }\n"
         "pumps: { drain: " +
         pump +
         " }\n"
         "switches:\n"
         "  sump-stop: { tank: sump, on_above: 20 cm }\n"
         "  sump-start: { tank: sump, on_above: 60 cm }\n"
         "  sump-high: { tank: sump, on_above: 90 cm }\n";
}

/// Its waits are those of a test; its alarms rise at once.
const Gateway::Edits kQuick{
    {"  id: packing-shed\n", "  id: packing-shed\n  scan: 200 ms\n"},
    {"9600 8N1", "19200 8N1"},
    {"off_at_least: 60 s, starts_per_hour: 8", "off_at_least: 0 s, starts_per_hour: 0, after_power_up: 0 s"},
    {"float-high: { after: 5 s", "float-high: { after: 0 s, clear_after: 0 s"},
    {"unwell: { after: 60 s", "unwell: { after: 1 s, clear_after: 0 s"},
    {"    when_unknown:", "    alarms: { tripped: { after: 0 s } }\n    when_unknown:"}};

/// The sump and its pump, which a person has switched off.
struct Sump {
  explicit Sump(const std::string& pump)
      : gateway{"sump-by-floats.yaml", water(pump), kQuick}, stage{gateway, {"drain"}} {}

  [[nodiscard]] double level() {
    gateway.order("show");
    const std::string out = gateway.orchard().out();
    const std::size_t at = out.rfind("ok {") + 3;
    const auto truth = nlohmann::json::parse(out.substr(at, out.find('\n', at) - at));
    return truth.at("tanks").at("sump").at("level_m").get<double>();
  }

  Gateway gateway;
  CauseStage stage;
};

const std::string kUnacknowledged = R"("kind":"alarm","of":"sump/float-high","cause":"unacknowledged")";
/// So little that no level but an ordered one is reached.
const std::string kTrickle = "1 L/min";
const support::Steps kRuns{"plant set sump 70 %", "stillwell mode drain auto", "await running"};

}  // namespace

TEST_CASE("floats: water on the wire starts the pump at the upper float and stops it below the lower one",
          "[e2e][floats]") {
  Sump sump{"3000 L/min"};
  sump.gateway.order("set sump 59 %");
  REQUIRE(sump.gateway.command({"mode", "drain", "auto"}).code == 0);
  CHECK(sump.stage.becomes("drain", "state", "stopped"));  // between the two
  CHECK_FALSE(sump.stage.coil("drain-contact"));
  sump.gateway.order("inflow sump 300 L/min");
  CHECK(eventually([&] { return sump.stage.turns("drain"); }));
  sump.gateway.order("inflow sump 0 L/min");
  CHECK(sump.gateway.journal_tells({R"("kind":"stop","of":"drain")", "its floats see the water below both"}));
  CHECK(eventually([&] { return !sump.stage.coil("drain-contact"); }));
  CHECK(sump.level() < 0.2);
  // Once more: for two seconds it is between them again, and nothing starts.
  sump.gateway.order("set sump 58 %");
  sump.gateway.order("inflow sump 300 L/min");
  CHECK(eventually([&] { return sump.stage.turns("drain"); }));
  const std::string start = R"("kind":"start","of":"drain")";
  CHECK(eventually([&] { return sump.gateway.journal({start}).size() == 2; }));
  CHECK(sump.gateway.journal({start, "its floats see the water above both"}).size() == 2);
  CHECK(sump.gateway.journal({R"("kind":"trip")"}).empty());
}

TEST_CASE("floats: the high one raises its alarm, which returns with the water", "[e2e][floats]") {
  Sump sump{kTrickle};
  sump.gateway.order("set sump 95 %");
  CHECK(sump.gateway.journal_tells({kUnacknowledged, "sump-high on"}));
  sump.gateway.order("set sump 40 %");
  CHECK(sump.gateway.journal_tells(
      {R"("kind":"alarm","of":"sump/float-high","cause":"returned-unacknowledged")"}));
  CHECK(sump.gateway.command({"acknowledge", "sump/float-high"}).code == 0);
  CHECK(sump.gateway.journal_tells({R"("kind":"alarm","of":"sump/float-high","cause":"normal")"}));
}

TEST_CASE("floats: a wire that breaks at the high one raises its alarm too, and contradicts the others",
          "[e2e][floats][rule-7]") {
  Sump sump{kTrickle};
  sump.gateway.order("fault sump-high broken-wire");
  CHECK(sump.gateway.journal_tells({kUnacknowledged, "sump-start off, sump-high on"}));
  CHECK(sump.gateway.status_becomes("/tanks/0/reason", "disagree"));
}

TEST_CASE("floats: one that contradicts the others trips the pump, and is named", "[e2e][floats][rule-2]") {
  Sump sump{kTrickle};
  sump.stage.take(kRuns, "drain");
  sump.gateway.order("fault sump-stop broken-wire");
  const std::string floats = "sump-stop off, sump-start on, sump-high off";
  CHECK(sump.gateway.journal_tells({R"("kind":"trip","of":"drain","cause":"tank-unknown")"}));
  CHECK(eventually([&] { return !sump.stage.coil("drain-contact"); }));
  CHECK(sump.gateway.journal_tells({R"("kind":"quality","of":"sump","cause":"disagree")", floats}));
  CHECK(sump.gateway.journal_tells({R"("of":"drain/tripped","cause":"unacknowledged")", floats}));
  CHECK(sump.gateway.journal_tells({R"("of":"sump/unwell","cause":"unacknowledged")", floats}));
  sump.gateway.order("clear sump-stop");
  CHECK(sump.stage.becomes("drain", "state", "running"));
}

TEST_CASE("floats: a module that falls silent trips the pump, and it goes on when it answers again",
          "[e2e][floats][rule-2]") {
  Sump sump{kTrickle};
  sump.stage.play({Cause::switch_unknown,
                   "drain",
                   Ends::run,
                   kRuns,
                   {"plant fault sump-stop silence"},
                   {"plant clear sump-stop", "await running"}});
  // Which of the three is missed first is chance; once the module has been silent for a while, all are.
  CHECK(sump.gateway.journal_tells({R"("kind":"quality","of":"sump")", "unreadable ("}));
  sump.gateway.order("fault sump-stop silence");
  CHECK(
      sump.gateway.journal_tells({R"("of":"sump/unwell","cause":"unacknowledged")", "sump-stop unreadable (",
                                  "sump-start unreadable (", "sump-high unreadable ("}));
}
