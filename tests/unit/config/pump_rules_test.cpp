// What a pump may run by, beyond its levels: the panel, its isolator, its fellows, and what shows that it
// runs dry.

#include <chrono>
#include <string>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/config_broken.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::expect_refused;

namespace {

const std::string kDryRun = "    dry_run: { source_below: 15 % }\n";
const std::string kSwitches = "switches:\n";

/// The base with these switches more, and these lines more in the lift pump.
config::Loaded with(const std::string& switches, const std::string& lift,
                    const std::string& dry_run = kDryRun) {
  std::string text = support::base_with(kSwitches, kSwitches + switches);
  text.replace(text.find(kDryRun), kDryRun.size(), dry_run + lift);
  return config::parse(text, "site.yaml");
}

std::string told(const config::Loaded& loaded) {
  std::string text;
  for (const auto& problem : loaded.problems)
    text += problem.path + ": " + problem.text + "\n";
  return text;
}

const std::string kPanel =
    "  panel-off: { line: shed, station: 10, table: discrete, address: 5, active: low, broken: on }\n"
    "  panel-hand: { line: shed, station: 10, table: discrete, address: 6, broken: off }\n"
    "  lift-flow: { line: shed, station: 10, table: discrete, address: 7, broken: off }\n";

}  // namespace

TEST_CASE("pump rules: all that a pump can have", "[config][pump]") {
  const auto loaded = with(kPanel,
                           "    selector: { off: panel-off, hand: panel-hand }\n"
                           "    needs: [drain]\n"
                           "    hand_for: 5 min\n",
                           "    dry_run:\n"
                           "      source_below: 15 %\n"
                           "      flow: { switch: lift-flow, within: 8 s }\n"
                           "      rise: { at_least: 4 mm/min, within: 3 min }\n"
                           "      retry: { after: 20 min, times: 2, proved_by: 5 min }\n");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  const Model& model = loaded.configuration->model;
  const Pump& lift = model.pumps[0];
  CHECK(model.switches[lift.selector.off->at].id == "panel-off");
  CHECK(model.switches[lift.selector.hand->at].id == "panel-hand");
  CHECK(model.switches[lift.dry_run.flow->input.at].id == "lift-flow");
  CHECK(model.switches[lift.dry_run.flow->input.at].rules.stale_after == 3s);
  CHECK(lift.dry_run.flow->within == 8s);
  CHECK(lift.dry_run.rise->at_least.value() == Approx(0.004 / 60.0));
  CHECK(lift.dry_run.rise->within == 3min);
  CHECK(lift.dry_run.retry.after == 20min);
  CHECK(lift.dry_run.retry.times == 2);
  CHECK(lift.dry_run.retry.proved_by == 5min);
  CHECK(lift.needs == std::vector<PumpIndex>{{1}});
  CHECK(lift.hand_for == 5min);
  CHECK(model.stagger == 2s);
  CHECK(lift.drive == Drive::pump);
  CHECK_FALSE(model.pumps[1].when_unknown.has_value());
}

TEST_CASE("pump rules: a flow switch is not older than the delay that relies on it",
          "[config][pump][interlock]") {
  const auto loaded =
      with(kPanel, "", "    dry_run: { source_below: 15 %, flow: { switch: lift-flow, within: 2 s } }\n");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  const Model& model = loaded.configuration->model;
  CHECK(model.switches[model.pumps[0].dry_run.flow->input.at].rules.stale_after == 2s);
}

TEST_CASE("pump rules: a valve has no suction", "[config][pump]") {
  std::string text = support::base_with("    from: cistern\n", "    kind: valve\n");
  text.replace(text.find(kDryRun), kDryRun.size(), "");
  const auto loaded = config::parse(text, "site.yaml");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  CHECK(loaded.configuration->model.pumps[0].drive == Drive::valve);
  CHECK_FALSE(loaded.configuration->model.pumps[0].source.has_value());
}

TEST_CASE("pump rules: a sump of unknown level may be emptied blind", "[config][pump]") {
  for (const std::string rule : {"stop", "{ rule: stop }"}) {
    const auto loaded = config::parse(
        support::base_with("    duty: drain\n", "    duty: drain\n    when_unknown: " + rule + "\n"),
        "site.yaml");
    INFO(told(loaded));
    REQUIRE(loaded.configuration);
    CHECK_FALSE(loaded.configuration->model.pumps[1].when_unknown.has_value());
  }
  const auto loaded =
      config::parse(support::base_with("    duty: drain\n",
                                       "    duty: drain\n    when_unknown: { run_for: 5 min, every: 1 h }\n"),
                    "site.yaml");
  INFO(told(loaded));
  REQUIRE(loaded.configuration);
  CHECK(loaded.configuration->model.pumps[1].when_unknown->run_for == 5min);
  CHECK(loaded.configuration->model.pumps[1].when_unknown->every == 1h);
}

TEST_CASE("rule 13: an isolator's contact says how it fails too", "[config][pump][errors]") {
  const std::string contacts = "contacts:\n";
  const auto isolated = [&](const std::string& fails) {
    std::string text = support::base_with(
        contacts, contacts + "  lift-isolator: { line: shed, station: 12, coil: 0" + fails + " }\n");
    text.replace(text.find(kDryRun), kDryRun.size(), kDryRun + "    isolator: lift-isolator\n");
    return config::parse(text, "site.yaml");
  };
  const auto whole = isolated(", fails_off: wired");
  INFO(told(whole));
  REQUIRE(whole.configuration);
  CHECK(whole.configuration->model.pumps[0].isolator.has_value());
  const auto silent = isolated("");
  REQUIRE(silent.problems.size() == 1);
  CHECK(silent.problems[0].path == "contacts.lift-isolator");
  CHECK(silent.problems[0].line == 23);
  CHECK(silent.problems[0].column == 3);
  CHECK(silent.problems[0].text.find(
            "expected exactly one of refresh | fails_off: it isolates pump 'lift'") != std::string::npos);
}

TEST_CASE("broken: what a pump may not run by", "[config][errors][pump]") {
  const auto refused = [](const config::Loaded& loaded, const std::string& path, const std::string& text) {
    INFO(told(loaded));
    CHECK(told(loaded).find(path + ": ") != std::string::npos);
    CHECK(told(loaded).find(text) != std::string::npos);
    CHECK_FALSE(loaded.configuration.has_value());
  };
  refused(with(kPanel, "", "    dry_run: { rise: { at_least: 4 mm/min, within: 3 min } }\n"),
          "pumps.lift.dry_run", "expected source_below, flow or power, since rise shows late");
  refused(with(kPanel, "", "    dry_run: { source_below: 15 %, flow: { switch: panel-off } }\n"),
          "pumps.lift.dry_run.flow.switch", "this needs broken: off");
  refused(with(kPanel, "    selector: { off: panel-hand }\n"), "pumps.lift.selector.off",
          "a trip needs broken: on");
  refused(with(kPanel, "    selector: { hand: panel-off }\n"), "pumps.lift.selector.hand",
          "this needs broken: off");
  refused(with(kPanel, "    selector: {}\n"), "pumps.lift.selector", "expected off, hand, or both");
  refused(with(kPanel, "    needs: [lift]\n"), "pumps.lift.needs",
          "goes round in a circle (lift, and lift again)");
  refused(config::parse(support::replaced(
                            support::base_with("    duty: drain\n", "    duty: drain\n    needs: [lift]\n"),
                            "    duty: fill\n", "    duty: fill\n    needs: [drain]\n"),
                        "site.yaml"),
          "pumps.lift.needs", "goes round in a circle (lift, drain, and lift again)");
  refused(with(kPanel, "    unasked: { at_least: 1 mm/min, within: 3 min }\n"), "pumps.lift.unasked.within",
          "comes to 0.003 m at that rate");
  refused(with(kPanel, "    needs: [drain, drain]\n"), "pumps.lift.needs", "names 'drain' twice");
  refused(with(kPanel, "    isolator: drain-contact\n"), "pumps.drain.contact",
          "pump 'lift' already has this contact");
  refused(with(kPanel, "    mode: hand\n"), "pumps.lift.mode", "expected one of: auto, off");
  refused(with(kPanel, "    when_unknown: stop\n"), "pumps.lift.when_unknown",
          "has no meaning together with duty: fill");
  refused(with(kPanel, "    kind: valve\n"), "pumps.lift.dry_run",
          "has no meaning together with kind: valve");
  refused(
      config::parse(support::base_with("    duty: drain\n",
                                       "    duty: drain\n    when_unknown: { run_for: 1 h, every: 1 h }\n"),
                    "site.yaml"),
      "pumps.drain.when_unknown.run_for", "expected less than every");
}
