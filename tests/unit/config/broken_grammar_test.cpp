// Every way to break the grammar of a configuration, one at a time.
#include "stillwell/config/configuration.hpp"

#include "support/catch.hpp"
#include "support/config_broken.hpp"

using namespace stillwell::config;
using support::expect_refused;

TEST_CASE("broken: the base itself is whole", "[config][errors]") {
  const Loaded loaded = parse(support::kConfigBase, "site.yaml");
  for (const Problem& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  CHECK(loaded.configuration);
}

TEST_CASE("broken: a problem is told as file:line:column: path: text", "[config][errors]") {
  const Loaded loaded = parse(support::base_with("to_full: 0.40 m", "to_full: 0.40"), "site.yaml");
  REQUIRE(loaded.problems.size() == 1);
  CHECK(loaded.problems[0].to_text() ==
        "site.yaml:33:14: tanks.header.to_full: '0.40' has no unit; expected mm, cm, m");
}

TEST_CASE("broken: keys that are unknown, missing, twice or not built yet", "[config][errors]") {
  expect_refused({
      {"    to_floor: 2.85 m\n", "    to_floor: 2.85 m\n    to_flor: 2 m\n", 33, 5, "tanks.header.to_flor",
       "unknown key; did you mean 'to_floor'?"},
      {"site: { id: orchard }", "site: { id: orchard, colour: red }", 1, 22, "site.colour",
       "unknown key; expected one of: id, name, timezone, scan, stagger, air, water"},
      {"site: { id: orchard }\n", "", 1, 1, "", "missing key 'site'"},
      {"{ id: orchard }", "{ name: Orchard }", 1, 1, "site", "missing key 'id'"},
      {"    gauge: cistern-top\n", "", 37, 3, "tanks.cistern", "expected exactly one of gauge | gauges"},
      {"    start_at: 45 %\n", "", 47, 3, "pumps.lift", "missing key 'start_at'"},
      {", carries: modbus", "", 4, 3, "lines.shed", "missing key 'carries'; expected modbus or range-frames"},
      {"    every: 1 s\n", "    every: 1 s\n    every: 2 s\n", 12, 5, "gauges.header-top.every",
       "duplicate key"},
      {"  cistern:\n", "  header:\n    gauge: cistern-top\n  cistern:\n", 37, 3, "tanks.header",
       "duplicate key"},
      {"  lift:\n", "  lift:\n    needs: drain\n", 48, 12, "pumps.lift.needs",
       "expected a list of one or more"},
      {"dry_run: { source_below: 15 %", "dry_run: { source_below: 15 %, power: { below: 350 W }", 56, 36,
       "pumps.lift.dry_run.power", "missing key 'meter'"},
      {"tanks:\n", "log_levels: { keep: 1 d }\ntanks:\n", 29, 21, "log_levels.keep", "31 d"},
      {"duty: fill", "kind: valv\n    duty: fill", 48, 11, "pumps.lift.kind", "did you mean 'valve'?"},
      {"      low: { at: 15 % }", "      low: { at: 15 % }\n      falling: { after: 1 s }", 37, 7,
       "tanks.header.alarms.falling", "missing key 'faster_than'"},
      {"mqtt://127.0.0.1 }", "mqtt://127.0.0.1, discovery_prefix: hub/# }", 2, 52, "broker.discovery_prefix",
       "is not an MQTT topic"},
      {"mqtt://127.0.0.1 }", "mqtt://127.0.0.1, discovery_prefix: homie/5 }", 2, 52,
       "broker.discovery_prefix", "homie/ is where the values are"},
      {"mqtt://127.0.0.1 }", "mqtt://127.0.0.1, discovery_form: entity }", 2, 1, "broker",
       "missing key 'discovery_prefix'; discovery_form needs it"},
      {"mqtt://127.0.0.1 }", "mqtt://127.0.0.1, accept: [rest] }", 2, 43, "broker.accept[0]",
       "did you mean 'reset'?"},
      {"mqtt://127.0.0.1 }", "mqtt://127.0.0.1, accept: reset }", 2, 42, "broker.accept",
       "expected a list of one or more"},
  });
}

TEST_CASE("broken: values of the wrong kind", "[config][errors]") {
  expect_refused({
      {"every: 1 s", "every: 1", 11, 12, "gauges.header-top.every",
       "'1' has no unit; expected ms, s, min, h, d"},
      {"every: 1 s", "every: 1 m", 11, 12, "gauges.header-top.every",
       "'m' is not a unit for this; expected ms, s, min, h, d"},
      {"every: 1 s", "every:", 11, 5, "gauges.header-top.every", "found nothing"},
      {"every: 1 s", "every: [1 s]", 11, 12, "gauges.header-top.every", "found a list"},
      {"every: 1 s", "every: { a: 1 s }", 11, 12, "gauges.header-top.every", "found a map"},
      {"to_floor: 2.85 m", "to_floor: nan m", 32, 15, "tanks.header.to_floor",
       "expected a number and a unit"},
      {"to_floor: 2.85 m", "to_floor: 2,85 m", 32, 15, "tanks.header.to_floor", "write 2.85 m"},
      {"diameter: 2.4 m", "diameter: 2,4 m", 34, 50, "tanks.header.holds.diameter", "write 2.4 m"},
      {"gauge: header-top", "gauge: \"header-top", 31, 12, "tanks.header.gauge", "not closed on its line"},
      {"capacity: 5000 L", "capacity: \"5,000 L\"", 41, 24, "tanks.cistern.holds.capacity",
       "write 5.000 L, or 5000 L if thousands are meant"},
      {"capacity: 5000 L", "capacity: 5000 m", 41, 24, "tanks.cistern.holds.capacity", "expected L, m3"},
      {"start_at: 45 %", "start_at: 45", 51, 15, "pumps.lift.start_at",
       "has no unit; expected %, mm, cm, m, L, m3"},
      {"station: 1\n", "station: 010\n", 9, 14, "gauges.header-top.station", "write 10"},
      {"station: 1\n", "station: '1'\n", 9, 14, "gauges.header-top.station", "without quotes"},
      {"{ at: 15 % }", "{ at: 15 %, latch: yes }", 36, 31, "tanks.header.alarms.low.latch",
       "is not true or false"},
      {"{ at: 15 % }", "{ at: 15 %, priority: urgent }", 36, 34, "tanks.header.alarms.low.priority",
       "expected one of: low, medium, high"},
      {"active: low", "active: lo", 20, 79, "switches.full-float.active", "did you mean 'low'?"},
      {"as: u16", "as: u15", 10, 47, "gauges.header-top.distance.as", "did you mean 'u16'?"},
      {"distance: { table: input, address: 0, as: u16, unit: mm }", "distance: 5 mm", 10, 5,
       "gauges.header-top.distance",
       "expected a map of keys (table, address, as, unit, scale, offset, fault_below, fault_above)"},
      {"site: { id: orchard }", "site: orchard", 1, 1, "site",
       "expected a map of keys (id, name, timezone, scan, stagger, air, water, alarms)"},
      {"id: orchard", "id: 7", 1, 13, "site.id", "reads as a number or a flag"},
      {"id: orchard", "id: Orchard", 1, 13, "site.id", "is not an id of a-z, 0-9 and -"},
      {"id: orchard", "id: orchard-", 1, 13, "site.id", "is not an id"},
      {"  running:", "  Spare_1: { line: shed, station: 10, table: discrete, address: 7 }\n  running:", 21, 3,
       "switches.Spare_1", "is not an id"},
      {"{ id: orchard }", "{ id: orchard, name: \"a\\nb\" }", 1, 28, "site.name", "line breaks"},
      {"{ id: orchard }", "{ id: orchard, timezone: Europe/Nowhere }", 1, 32, "site.timezone",
       "knows no time zone"},
      {"speed: 9600 8N1", "speed: 9600", 4, 38, "lines.shed.speed", "write 9600 8N1"},
      {"speed: 9600 8N1", "speed: 250000 8N1", 4, 38, "lines.shed.speed",
       "250000 is not a usual serial speed"},
      {"port: /dev/ttyUSB0", "port: ttyUSB0", 4, 17, "lines.shed.port", "is not an absolute path"},
      {"port: /dev/ttyUSB0", "port: \"/dev/${PORT}\"", 4, 17, "lines.shed.port", "variables are replaced in"},
      {"mqtt://127.0.0.1", "http://127.0.0.1", 2, 16, "broker.url", "is not mqtt://HOST"},
      {"mqtt://127.0.0.1", "mqtt://user:pw@127.0.0.1", 2, 16, "broker.url", "is not mqtt://HOST"},
      {"mqtt://127.0.0.1", "mqtt://127.0.0.1:70000", 2, 16, "broker.url", "no port from 1 to 65535"},
      {"duty: fill", "duty: fill\n    allowed: 22:00-06:00", 49, 14, "pumps.lift.allowed", "expected a list"},
      {"duty: fill", "duty: fill\n    allowed: [\"22:00-6:00\"]", 49, 15, "pumps.lift.allowed[0]",
       "window of the day"},
      {"duty: fill", "duty: fill\n    mode: hand", 49, 11, "pumps.lift.mode", "expected one of: auto, off"},
  });
}

TEST_CASE("broken: values out of range", "[config][errors]") {
  expect_refused({
      {"station: 1\n", "station: 248\n", 9, 14, "gauges.header-top.station",
       "out of range; expected 1 to 247"},
      {"station: 1\n", "station: 0\n", 9, 14, "gauges.header-top.station", "expected 1 to 247"},
      {"coil: 0", "coil: 65536", 23, 50, "contacts.lift-contact.coil", "expected 0 to 65535"},
      {"address: 2,", "address: 65535,", 18, 39, "gauges.sump-depth.depth.address",
       "would not end before the last register"},
      {"{ id: orchard }", "{ id: orchard, scan: 50 ms }", 1, 28, "site.scan", "expected 100 ms to 60 s"},
      {"{ id: orchard }", "{ id: orchard, scan: 61 s }", 1, 28, "site.scan", "expected 100 ms to 60 s"},
      {"every: 1 s", "every: 1 s\n    stale_after: 61 s", 12, 18, "gauges.header-top.stale_after",
       "expected 200 ms to 60 s"},
      {"every: 1 s", "every: 5 s\n    stale_after: 5 s", 12, 18, "gauges.header-top.stale_after",
       "stale before the next one comes"},
      {"every: 1 s", "every: 1 s\n    blanking: 1 m\n    reach: 50 cm", 13, 12, "gauges.header-top.reach",
       "would see nothing"},
      {"start: 0xFF", "start: 0x1FF", 14, 35, "gauges.cistern-top.frame.start", "expected 0 to 255"},
      {"to_full: 0.40 m", "to_full: 2.85 m", 33, 14, "tanks.header.to_full",
       "expected less than to_floor (2.850 m)"},
      {"full: 1.2 m", "full: 1.2 m\n    unusable: 1.2 m", 45, 15, "tanks.sump.unusable",
       "expected less than the full line"},
      {"station: 4\n", "station: 4\n    mounted_at: 1.2 m\n", 45, 11, "tanks.sump.full",
       "the sensor is mounted above it"},
      {"start_at: 45 %", "start_at: -5 %", 51, 15, "pumps.lift.start_at", "is outside tank 'header'"},
      {"stop_at: 92 %", "stop_at: 101 %", 52, 14, "pumps.lift.stop_at", "expected 0 to 2.450 m"},
      {"stop_at: 92 %", "stop_at: 2.5 m", 52, 14, "pumps.lift.stop_at", "is outside tank 'header'"},
      {"source_below: 15 %", "source_below: 5001 L", 56, 30, "pumps.lift.dry_run.source_below",
       "is outside tank 'cistern'"},
      {"{ at: 15 % }", "{ at: 15 %, deadband: 86 % }", 36, 34, "tanks.header.alarms.low.deadband",
       "could never clear"},
      {"low: { at: 15 % }", "leak: { between: \"02:00-03:00\", more_than: 4 L/h }", 36, 24,
       "tanks.header.alarms.leak.between", "is 60 min long; expected 90 min to 12 h of the night"},
      {"low: { at: 15 % }", "leak: { between: \"00:00-24:00\", more_than: 4 L/h }", 36, 24,
       "tanks.header.alarms.leak.between", "is 24 h long"},
      {"low: { at: 15 % }", "leak: { more_than: 4 L }", 36, 26, "tanks.header.alarms.leak.more_than",
       "'L' is not a unit for this; expected L/min, L/h, m3/h"},
      {"low: { at: 15 % }", "leak: {}", 36, 7, "tanks.header.alarms.leak", "missing key 'more_than'"},
      {"low: { at: 15 % }", "high: { at: 15 %, deadband: 15 % }", 36, 35, "tanks.header.alarms.high.deadband",
       "could never clear"},
      {"{ at: 15 % }", "{ at: 15 %, deadband: -1 cm }", 36, 34, "tanks.header.alarms.low.deadband",
       "no negative deadband"},
      {"for: 5 s", "for: 1500 ms", 28, 34, "contacts.drain-contact.refresh.for",
       "whole count, 1 to 65535, of the unit (1 s)"},
      {"for: 5 s", "for: 70 s, unit: 1 ms", 28, 34, "contacts.drain-contact.refresh.for", "whole count"},
      {"on: 1, off: 0", "on: 1, off: 1", 27, 41, "contacts.drain-contact.register.off", "the same number"},
      {"carries: modbus", "carries: modbus, quiet: 2 ms", 4, 72, "lines.shed.quiet",
       "expected at least 4.01 ms"},
      {"speed: 9600 8N1", "speed: 9600 7N1", 4, 38, "lines.shed.speed", "needs 8 data bits"},
      {"duty: fill", "duty: fill\n    limits: { on_at_least: 5 min, run_at_most: 4 min }", 49, 48,
       "pumps.lift.limits.run_at_most", "must be longer than on_at_least"},
  });
}

TEST_CASE("broken: exactly one of", "[config][errors]") {
  expect_refused({
      {", fails_off: wired", "", 23, 3, "contacts.lift-contact",
       "expected exactly one of refresh | fails_off"},
      {"    refresh: { address: 40, for: 5 s }\n",
       "    refresh: { address: 40, for: 5 s }\n    fails_off: wired\n", 29, 5,
       "contacts.drain-contact.fails_off", "has no meaning together with refresh"},
      {"coil: 0, ", "", 23, 3, "contacts.lift-contact", "expected exactly one of coil | register"},
      {"    distance: { table: input, address: 0, as: u16, unit: mm }\n", "", 7, 3, "gauges.header-top",
       "expected exactly one of distance | depth | pressure | frame"},
      {"holds: { capacity: 5000 L }", "holds: { }", 41, 5, "tanks.cistern.holds",
       "expected exactly one of shape | capacity"},
      {"diameter: 2.4 m", "diameter: 2.4 m, capacity: 11 m3", 34, 57, "tanks.header.holds.capacity",
       "'shape' is given too"},
      {"    to_floor: 2.5 m\n    to_full: 0.5 m\n", "", 37, 3, "tanks.cistern",
       "expected exactly one of to_floor | full"},
  });
}

TEST_CASE("broken: keys that do not fit each other", "[config][errors]") {
  expect_refused({
      {"    station: 1\n", "", 7, 3, "gauges.header-top", "missing key 'station'; distance needs it"},
      {"    line: mast\n", "    line: mast\n    station: 3\n", 14, 5, "gauges.cistern-top.station",
       "has no meaning together with frame"},
      {"value: u16be, ", "", 14, 5, "gauges.cistern-top.frame", "missing key 'value'; kind: binary needs it"},
      {"kind: binary, start: 0xFF, value: u16be, sum: low-byte", "kind: text, pattern: R", 14, 35,
       "gauges.cistern-top.frame.pattern", "one group of digits"},
      {"shape: vertical-cylinder, diameter: 2.4 m", "shape: vertical-cylinder, diameter: 2.4 m, width: 1 m",
       34, 57, "tanks.header.holds.width", "has no meaning together with shape: vertical-cylinder"},
      {"    to_full: 0.5 m\n", "", 37, 3, "tanks.cistern", "missing key 'to_full'; to_floor needs it"},
      {"    full: 1.2 m\n", "    to_floor: 1.2 m\n    to_full: 10 cm\n", 44, 15, "tanks.sump.to_floor",
       "measures a depth"},
      {"    from: cistern\n", "", 47, 3, "pumps.lift", "missing key 'from'; duty: fill needs it"},
      {"    to: cistern\n", "    to: cistern\n    from: header\n", 61, 5, "pumps.drain.from",
       "has no meaning together with duty: drain"},
      {"mqtt://127.0.0.1 }", "mqtt://127.0.0.1, ca: /ca.pem }", 2, 38, "broker.ca",
       "has no meaning without TLS"},
      {"mqtt://127.0.0.1 }", "mqtt://127.0.0.1, password_file: /p }", 2, 1, "broker",
       "missing key 'user'; password_file needs it"},
      {"mqtt://127.0.0.1 }", "mqtts://127.0.0.1, cert: /c.pem }", 2, 1, "broker",
       "missing key 'key'; cert needs it"},
      {"    trips: { high: 90 % }\n", "", 60, 9, "pumps.drain.to", "expected trips.high too"},
      {"    to: cistern\n", "", 63, 20, "pumps.drain.trips.high", "name it with to"},
  });
}
