// What the grammar cannot see: keys of different sections that do not fit together.
#include "stillwell/config/configuration.hpp"

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/config_broken.hpp"

using namespace stillwell::config;
using support::expect_refused;

TEST_CASE("broken: references to nothing and to the wrong thing", "[config][errors]") {
  expect_refused({
      {"gauge: header-top", "gauge: header-tip", 31, 12, "tanks.header.gauge",
       "there is no 'header-tip' among the gauges; did you mean 'header-top'?"},
      {"line: shed\n    station: 1\n", "line: attic\n    station: 1\n", 8, 11, "gauges.header-top.line",
       "expected one of: shed, mast"},
      {"from: cistern", "from: unwatchd", 50, 11, "pumps.lift.from", "did you mean 'unwatched'?"},
      {"switch: running", "switch: runing", 54, 25, "pumps.lift.feedback.switch", "did you mean 'running'?"},
      {"contact: lift-contact", "contact: left-contact", 53, 14, "pumps.lift.contact",
       "did you mean 'lift-contact'?"},
      {"line: shed\n    station: 1\n", "line: mast\n    station: 1\n", 8, 11, "gauges.header-top.line",
       "carries range-frames; expected a line that carries modbus"},
      {"    line: mast\n", "    line: shed\n", 13, 11, "gauges.cistern-top.line",
       "carries modbus; expected a line that carries range-frames"},
      {"from: cistern", "from: header", 50, 11, "pumps.lift.from", "is the pump's own tank"},
  });
}

TEST_CASE("broken: several gauges that do not fit together", "[config][errors]") {
  expect_refused({
      {"gauge: header-top", "gauges: [header-top, header-top]", 31, 26, "tanks.header.gauges[1]",
       "it is named twice; a gauge measures one tank"},
      {"gauge: header-top", "gauges: [header-top, cistern-top]", 38, 12, "tanks.cistern.gauge",
       "tank 'header' already has this gauge"},
      {"gauge: header-top", "gauge: header-top\n    disagree: 5 cm", 30, 3, "tanks.header",
       "missing key 'gauges'; disagree needs it"},
      {"gauge: header-top", "gauges: []", 31, 13, "tanks.header.gauges", "expected a list of one or more"},
      {"gauge: sump-depth", "gauges: [{ gauge: sump-depth, to_floor: 2 m }]", 43, 14, "tanks.sump.gauges[0]",
       "a depth gauge has no to_floor; give mounted_at with the gauge"},
  });
}

TEST_CASE("broken: settings of trust that make no sense", "[config][errors]") {
  expect_refused({
      {"gauge: header-top", "gauge: header-top\n    settle: { noise: 5 cm, frozen_after: 4 cm }", 32, 42,
       "tanks.header.settle.frozen_after", "expected more than twice noise (0.100 m)"},
      {"gauge: header-top", "gauge: header-top\n    settle: { fastest: 60 mm }", 32, 24,
       "tanks.header.settle.fastest", "is not a unit for this; expected mm/min"},
      {"site: { id: orchard }", "site: { id: orchard, air: [40 degC, -5 degC] }", 1, 27, "site.air",
       "expected the coldest first, [-5.0 degC, 40.0 degC]"},
      {"site: { id: orchard }", "site: { id: orchard, air: 40 degC }", 1, 27, "site.air",
       "expected a list of 2"},
      {"    station: 4\n", "    station: 4\n    assumes: 15 degC\n", 18, 5, "gauges.sump-depth.assumes",
       "has no meaning together with depth"},
  });
}

TEST_CASE("broken: one thing used twice", "[config][errors]") {
  expect_refused({
      {"port: /dev/ttyUSB1", "port: /dev/ttyUSB0", 5, 17, "lines.mast.port",
       "line 'shed' already has this port"},
      {"gauge: cistern-top", "gauge: header-top", 38, 12, "tanks.cistern.gauge",
       "tank 'header' already has this gauge"},
      {"contact: drain-contact", "contact: lift-contact", 63, 14, "pumps.drain.contact",
       "pump 'lift' already has this contact"},
      {"address: 1 }", "address: 0 }", 21, 65, "switches.running.address",
       "discrete input 0 of station 10 is taken by switches.full-float.address in line 20"},
      {"register: { address: 3, on: 1", "register: { address: 40, on: 1", 28, 25,
       "contacts.drain-contact.refresh.address",
       "holding register 40 of station 11 is taken by contacts.drain-contact.register.address in line 27"},
      {"    every: 1 s\n", "    air: { table: input, address: 0, as: i16, unit: 0.1 degC }\n", 11, 35,
       "gauges.header-top.air.address",
       "input register 0 of station 1 is taken by gauges.header-top.distance.address"},
      {"table: discrete, address: 1 }", "table: coil, address: 0 }", 23, 50, "contacts.lift-contact.coil",
       "coil 0 of station 10 is taken by switches.running.address"},
      {"  sump-depth:\n",
       "  second:\n    line: mast\n    frame: { kind: text, pattern: 'R(\\d{4})', unit: mm }\n  "
       "sump-depth:\n",
       16, 11, "gauges.second.line", "gauge 'cistern-top' already has this line"},
      {"  lift:\n", "  sump:\n", 47, 3, "pumps.sump", "a tank in line 42 has this name"},
      {"  lift:\n", "  set:\n", 47, 3, "pumps.set", "'set' has a meaning of its own"},
      {"id: orchard", "id: set", 1, 13, "site.id", "'set' has a meaning of its own"},
  });
}

TEST_CASE("broken: a motor that is in no table", "[config][errors]") {
  expect_refused({
      {"duty: fill", "duty: fill\n    motor: { rated: 1.1 kW, poles: 3 }", 49, 36, "pumps.lift.motor.poles",
       "expected 2, 4 or 6"},
      {"duty: fill", "duty: fill\n    motor: { rated: 1.1 kW, poles: 8 }", 49, 36, "pumps.lift.motor.poles",
       "2 to 6"},
      {"duty: fill", "duty: fill\n    motor: { rated: 1.5 hp, poles: 2 }", 49, 21, "pumps.lift.motor.rated",
       "is not a unit for this; expected W, kW"},
      {"duty: fill", "duty: fill\n    motor: { rated: 200 kW, poles: 2 }", 49, 21, "pumps.lift.motor.rated",
       "1 W to 186.4 kW"},
      {"duty: fill", "duty: fill\n    motor: { rated: 1.1 kW }", 49, 5, "pumps.lift.motor",
       "missing key 'poles'"},
  });
}

TEST_CASE("broken: set points out of order", "[config][errors]") {
  expect_refused({
      {"stop_at: 92 %", "stop_at: 45 %", 52, 14, "pumps.lift.stop_at", "fills stops above its start_at"},
      {"stop_at: 92 %", "stop_at: 40 cm", 52, 14, "pumps.lift.stop_at", "out of order"},
      {"stop_at: 15 %", "stop_at: 65 %", 62, 14, "pumps.drain.stop_at", "drains stops below its start_at"},
      {"trips: { float", "trips: { high: 92 %, float", 55, 20, "pumps.lift.trips.high",
       "must lie above stop_at"},
      {"source_below: 15 %", "source_below: 15 %, source_clear: 15 %", 56, 50,
       "pumps.lift.dry_run.source_clear", "expected above source_below"},
      {"source_below: 15 %", "source_below: 95 %", 56, 30, "pumps.lift.dry_run.source_below",
       "leaves no room"},
      {"    trips: { high: 90 % }\n", "    trips: { high: 90 % }\n    dry_run: { source_below: 20 % }\n", 65,
       30, "pumps.drain.dry_run.source_below", "would trip before it reaches stop_at"},
  });
}

TEST_CASE("broken: a switch whose broken wire means that all is well guards nothing",
          "[config][errors][interlock]") {
  expect_refused({
      {"active: low, broken: on", "active: low, broken: off", 55, 21, "pumps.lift.trips.float",
       "a trip needs broken: on"},
      {"active: low, broken: on", "active: low", 55, 21, "pumps.lift.trips.float", "does not declare"},
      {"    dry_run: { source_below: 15 % }\n", "    source_float: running\n", 56, 19,
       "pumps.lift.source_float", "does not declare what a broken wire looks like"},
      {"    from: cistern\n", "    from: unwatched\n    source_float: full-float\n", 57, 30,
       "pumps.lift.dry_run.source_below", "has no meaning together with from: unwatched"},
      {"feedback: { switch: running }", "feedback: { switch: running, within: 1 s }", 54, 42,
       "pumps.lift.feedback.within", "too seldom to prove it"},
      {"table: discrete, address: 1 }", "table: discrete, address: 1, stale_after: 10 s }", 54, 5,
       "pumps.lift.feedback.within", "an old reading could pass for proof"},
  });
}

TEST_CASE("broken: from: unwatched demands a float on the suction side", "[config][errors][interlock]") {
  expect_refused(
      {{"    from: cistern\n    start_at: 45 %\n    stop_at: 92 %\n    contact: lift-contact\n    feedback: "
        "{ switch: running }\n"
        "    trips: { float: full-float }\n    dry_run: { source_below: 15 % }\n",
        "    from: unwatched\n    start_at: 45 %\n    stop_at: 92 %\n    contact: lift-contact\n", 47, 3,
        "pumps.lift",
        "nothing would see that it runs dry; from: unwatched needs source_float, dry_run.flow or "
        "dry_run.power"}});
}

TEST_CASE("broken: all problems come in one run, in the order of the file", "[config][errors]") {
  std::string text = support::base_with("to_full: 0.40 m", "to_full: 0.40");
  text.replace(text.find("id: orchard"), 11, "id: Orchard");
  text.replace(text.find("gauge: cistern-top"), 18, "gauge: cistern-tip");
  text += "extra: 1\n";
  const Loaded loaded = parse(text, "site.yaml");
  REQUIRE(loaded.problems.size() == 4);
  CHECK(loaded.problems[0].path == "site.id");
  CHECK(loaded.problems[1].path == "tanks.header.to_full");
  CHECK(loaded.problems[2].path == "tanks.cistern.gauge");
  CHECK(loaded.problems[3].path == "extra");
}

TEST_CASE("broken: whatever line is left out, the answer is a list of problems or a configuration",
          "[config][errors]") {
  std::size_t refused = 0;
  for (std::size_t begin = 0; begin < support::kConfigBase.size();) {
    const std::size_t end = support::kConfigBase.find('\n', begin) + 1;
    std::string text = support::kConfigBase;
    INFO(text.substr(begin, end - begin));
    text.erase(begin, end - begin);
    const Loaded loaded = parse(text, "site.yaml");
    CHECK(loaded.configuration.has_value() == loaded.problems.empty());
    if (!loaded.problems.empty()) ++refused;
    begin = end;
  }
  CHECK(refused > 40);
}

TEST_CASE("broken: whatever letter is lost, nothing throws and nothing is half loaded", "[config][errors]") {
  const std::size_t each = support::is_brief() ? 7 : 1;
  for (std::size_t at = 0; at < support::kConfigBase.size(); at += each) {
    std::string text = support::kConfigBase;
    text.erase(at, 1);
    const Loaded loaded = parse(text, "site.yaml");
    if (loaded.configuration.has_value() != loaded.problems.empty()) FAIL("after losing letter " << at);
  }
  SUCCEED();
}
