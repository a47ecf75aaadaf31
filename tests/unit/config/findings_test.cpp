// Each finding of `check`: a configuration that has it, and that the base does not.
#include <cstdlib>
#include <map>

#include "support/bench_findings.hpp"

using namespace support;

TEST_CASE("findings: full line inside the blanking zone", "[config][findings]") {
  expect({"full-in-blanking", kWarning, "header", {"0.400 m", "0.500 m"}},
         {{"every: 1 s", "blanking: 50 cm"}});
  CHECK(coded("full-in-blanking", findings_of({{"every: 1 s", "blanking: 40 cm"}})).empty());
}

TEST_CASE("findings: floor beyond the reach of the sensor, full line beyond that of a submerged one",
          "[config][findings]") {
  expect({"floor-beyond-reach", kWarning, "header", {"2.850 m", "2.500 m"}},
         {{"every: 1 s", "reach: 2.5 m"}});
  CHECK(coded("floor-beyond-reach", findings_of({{"every: 1 s", "reach: 2.85 m"}})).empty());
  expect({"full-beyond-reach", kWarning, "sump", {"1.200 m", "1.000 m"}},
         {{"station: 4\n", "station: 4\n    reach: 1 m\n"}});
}

TEST_CASE("findings: a beam that is wider than the tank", "[config][findings]") {
  // 10 % above the floor the face of the header's sensor is 2.605 m away: 2 · 2.605 · tan(25 deg) = 2.429 m,
  // in a tank of 2.4 m.
  expect({"beam-on-wall", kWarning, "header", {"2.429 m wide", "2.605 m", "2.400 m"}},
         {{"every: 1 s", "beam: 50 deg"}});
  CHECK(coded("beam-on-wall", findings_of({{"every: 1 s", "beam: 49 deg"}})).empty());
}

TEST_CASE("findings: a gauge that is read too seldom to see a jump", "[config][findings]") {
  // The whole span in a minute: 1.225 m of 2.45 m in 30 s.
  const std::string known = "gauge: header-top\n    settle: { fastest: 20 mm/min }";
  expect({"jumps-unseen", kWarning, "header", {"30 s", "1.225 m", "draws_at_most"}},
         {{"every: 1 s", "every: 30 s"}});
  CHECK(coded("jumps-unseen", findings_of({{"every: 1 s", "every: 5 s"}})).empty());
  CHECK(coded("jumps-unseen", findings_of({{"every: 1 s", "every: 30 s"}, {"gauge: header-top", known}}))
            .empty());
}

TEST_CASE("findings: a pump that moves the water faster than settle.fastest", "[config][findings]") {
  // 60 L/min and half as much again on 4.52 m² are 19.9 mm/min.
  const std::string slow = "gauge: header-top\n    settle: { fastest: 15 mm/min }";
  const std::string pumps = "duty: fill\n    flow_rate: 60 L/min\n";
  expect({"pump-faster-than-fastest", kWarning, "header", {"19.9 mm/min", "15.0 mm/min"}},
         {{"gauge: header-top", slow}, {"duty: fill\n", pumps}});
  CHECK(coded("pump-faster-than-fastest", findings_of({{"duty: fill\n", pumps}})).empty());
  CHECK(coded("pump-faster-than-fastest", findings_of({{"gauge: header-top", slow}})).empty());
}

TEST_CASE("findings: a distance that is not corrected for the air's temperature", "[config][findings]") {
  // 2.85 m · (√(323.15 K / 288.15 K) − 1) = 0.168 m (ISO 9613-1); air that may be saturated adds to it.
  expect({"distance-uncorrected", kNote, "header", {"15.0 degC", "50.0 degC", "wrong by 0.2"}},
         {{"every: 1 s", "assumes: 15 degC"}});
  CHECK(coded("distance-uncorrected",
              findings_of(
                  {{"every: 1 s",
                    "assumes: 15 degC\n    air: { table: input, address: 1, as: i16, unit: 0.1 degC }"}}))
            .empty());
  CHECK(coded("distance-uncorrected",
              findings_of({{"every: 1 s", "assumes: 15 degC"},
                           {"gauge: header-top", "gauge: header-top\n    settle: { noise: 30 cm }"}}))
            .empty());
}

TEST_CASE("findings: a power guard that would stop a pump that works", "[config][findings][meters]") {
  const auto with = [](const std::string& below) {
    return Changes{
        {"contacts:\n",
         "meters:\n  lift-power: { line: shed, station: 20, table: input, address: 12, as: u16, "
         "unit: W }\ncontacts:\n"},
        {"duty: fill\n", "duty: fill\n    motor: { rated: 1.1 kW, poles: 2 }\n"},
        {"source_below: 15 %", "source_below: 15 %, power: { meter: lift-power, below: " + below + " }"}};
  };
  expect({"power-below-beyond-rating", kWarning, "lift", {"1100 W", "lift-power"}}, with("1.1 kW"));
  CHECK(coded("power-below-beyond-rating", findings_of(with("1099 W"))).empty());
}

TEST_CASE("findings: a frame that nothing checks", "[config][findings]") {
  expect({"frame-without-sum", kNote, "cistern-top", {"its frames have no sum", "a float too"}},
         {{"sum: low-byte", "sum: none"}});
  expect({"frame-without-sum", kNote, "cistern-top", {"a line of text has no sum"}},
         {{"kind: binary, start: 0xFF, value: u16be, sum: low-byte", "kind: text, pattern: 'R(\\d{4})'"}});
  CHECK(coded("frame-without-sum", findings_of({{"sum: low-byte", "sum: crc-16"}})).empty());
}

TEST_CASE("findings: alarms out of order", "[config][findings]") {
  expect({"alarms-out-of-order", kWarning, "header/low", {"header/low-low", "0.490 m", "0.367 m"}},
         {{"low: { at: 15 % }", "low: { at: 15 % }\n      low-low: { at: 20 % }"}});
}

TEST_CASE("findings: set points inside each other's deadband", "[config][findings]") {
  expect({"set-points-in-deadband", kWarning, "header/low", {"header/low-low", "deadband"}},
         {{"low: { at: 15 % }", "low: { at: 15 % }\n      low-low: { at: 12 % }"}});
  expect({"set-points-in-deadband", kWarning, "header/high-high", {"header/high"}},
         {{"low: { at: 15 % }", "high: { at: 94 %, deadband: 1 % }\n      high-high: { at: 97 % }"}});
  CHECK(coded("set-points-in-deadband",
              findings_of({{"low: { at: 15 % }", "low: { at: 15 % }\n      low-low: { at: 10 % }"}}))
            .empty());
}

TEST_CASE("findings: a pump that works across an alarm", "[config][findings]") {
  expect({"stop-above-high-alarm", kWarning, "lift", {"2.254 m", "2.205 m", "header/high"}},
         {{"low: { at: 15 % }", "high: { at: 90 % }"}});
  expect({"start-below-low-alarm", kWarning, "lift", {"header/low"}}, {{"at: 15 %", "at: 50 %"}});
  const std::string sump = "width: 0.5 m }";
  expect({"start-above-high-alarm", kWarning, "drain", {"sump/high"}},
         {{sump, sump + "\n    alarms: { high: { at: 60 % } }"}});
  expect({"stop-below-low-alarm", kWarning, "drain", {"sump/low"}},
         {{sump, sump + "\n    alarms: { low: { at: 20 % } }"}});
}

TEST_CASE("findings: an alarm with neither deadband nor delay", "[config][findings][alarms]") {
  const auto with = [](const std::string& rules) { return Changes{{"low: { at: 15 % }", rules}}; };
  expect({"nuisance-alarm", kWarning, "header/low", {"2 %", "5 %", "60 s", "sources differ"}},
         with("low: { at: 15 %, deadband: 0 %, after: 0 s, clear_after: 0 s }"));
  expect({"nuisance-alarm", kWarning, "header/high", {"deadband"}},
         with("high: { at: 95 %, deadband: 0 mm, after: 0 s, clear_after: 0 s }"));
  // One of them is enough.
  for (const char* rules :
       {"low: { at: 15 %, deadband: 0 % }", "low: { at: 15 %, after: 0 s }",
        "low: { at: 15 %, deadband: 0 %, after: 0 s, clear_after: 1 min }", "unwell: { after: 0 s }",
        "leak: { more_than: 4 L/h }", "falling: { faster_than: 20 mm/min, after: 0 s, clear_after: 0 s }"}) {
    INFO(rules);
    CHECK(coded("nuisance-alarm", findings_of(with(rules))).empty());
  }
}

TEST_CASE("findings: where most alarms are urgent none is", "[config][findings][alarms]") {
  const std::string others = "high: { at: 93 %, priority: high }\n      high-high: { at: 99 % }\n      ";
  expect({"mostly-high-priority", kNote, "orchard", {"3 of the 4", "80 %", "15 %", "5 %"}},
         {{"low: { at: 15 % }", others + "low-low: { at: 5 % }\n      low: { at: 15 % }"}});
  // Half of them is not more than half, and of three nothing can be told.
  CHECK(coded("mostly-high-priority",
              findings_of(
                  {{"low: { at: 15 % }",
                    "high: { at: 93 % }\n      high-high: { at: 99 % }\n      low-low: { at: 5 % }\n    "
                    "  low: { at: 15 % }"}}))
            .empty());
  CHECK(coded("mostly-high-priority", findings_of({{"low: { at: 15 % }", others + "low-low: { at: 5 % }"}}))
            .empty());
}

TEST_CASE("findings: an alarm of the rate that every run of a pump brings", "[config][findings][alarms]") {
  // 60 L/min on the header's 4.524 m2 are 13.3 mm/min; out of the cistern's 2.5 m2 they are 24 mm/min.
  const std::pair<std::string, std::string> pump{"duty: fill\n", "duty: fill\n    flow_rate: 60 L/min\n"};
  const auto header = [&](const std::string& rules) { return Changes{pump, {"low: { at: 15 % }", rules}}; };
  expect(
      {"rate-alarm-in-pump-range", kWarning, "header/rising", {"13.0 mm/min", "13.3 mm/min", "60.0 L/min"}},
      header("rising: { faster_than: 13 mm/min }"));
  CHECK(
      coded("rate-alarm-in-pump-range", findings_of(header("rising: { faster_than: 13.5 mm/min }"))).empty());
  // The pump does not empty the tank that it fills.
  CHECK(coded("rate-alarm-in-pump-range", findings_of(header("falling: { faster_than: 1 mm/min }"))).empty());
  const auto cistern = [&](const std::string& rules) {
    return Changes{pump, {"capacity: 5000 L }", "capacity: 5000 L }\n    alarms: { " + rules + " }"}};
  };
  expect({"rate-alarm-in-pump-range", kWarning, "cistern/falling", {"24.0 mm/min", "pump lift"}},
         cistern("falling: { faster_than: 20 mm/min }"));
  CHECK(coded("rate-alarm-in-pump-range", findings_of(cistern("rising: { faster_than: 1 mm/min }"))).empty());
}

TEST_CASE("findings: no guard against running dry", "[config][findings]") {
  const auto found =
      coded("dry-run-guard-missing", findings_of({{"    dry_run: { source_below: 15 % }\n", ""}}));
  REQUIRE(found.size() == 2);
  CHECK(found[0].of == "lift");
  CHECK(found[0].severity == kWarning);
  CHECK(found[0].text.find("cistern") != std::string::npos);
  CHECK(found[1].of == "drain");  // its stop level is one guard already
  CHECK(found[1].severity == kNote);
  CHECK(coded("dry-run-guard-missing", findings_of({})).size() == 1);
}

TEST_CASE("findings: a contact that nothing lets go", "[config][findings]") {
  expect({"contact-without-dropout", kNote, "lift-contact", {"accepted-risk", "refresh"}},
         {{"fails_off: wired", "fails_off: accepted-risk"}});
}

TEST_CASE("findings: a trip switch that could not see its broken wire", "[config][findings]") {
  expect({"broken-wire-unseen", kWarning, "lift", {"full-float"}}, {{"active: low, ", ""}});
}

TEST_CASE("findings: a flow switch or a selector that could not see its broken wire", "[config][findings]") {
  struct Case {
    const char* input;  ///< how it is wired
    const char* good;   ///< the same, so that its broken wire is seen
    const char* key;
    std::vector<std::string> says;
  };
  const std::vector<Case> cases{
      {"active: low, broken: off",
       "broken: off",
       "dry_run: { source_below: 15 %, flow: { switch: extra } }",
       {"flow switch extra", "reads as on", "a dry run would pass for flow", "normally open"}},
      {"broken: on",
       "active: low, broken: on",
       "dry_run: { source_below: 15 % }\n    selector: { off: extra }",
       {"selector switch extra", "reads as off", "off would not be heard", "normally closed"}},
      {"active: low, broken: off",
       "broken: off",
       "dry_run: { source_below: 15 % }\n    selector: { hand: extra }",
       {"selector switch extra", "reads as on", "in hand", "normally open"}},
  };
  for (const Case& one : cases) {
    const auto wired = [&](const std::string& how) {
      return Changes{{"dry_run: { source_below: 15 % }", one.key},
                     {"contacts:\n", "  extra: { line: shed, station: 10, table: discrete, address: 5, " +
                                         how + " }\ncontacts:\n"}};
    };
    CHECK(coded("broken-wire-unseen", findings_of(wired(one.good))).empty());
    expect({"broken-wire-unseen", kWarning, "lift", one.says}, wired(one.input));
  }
}

TEST_CASE("findings: sensing and contact on one line, with what remains", "[config][findings]") {
  const auto remains = [](const Changes& changes) {
    return coded("sensing-and-contact-on-one-line", findings_of(changes));
  };
  const auto base = remains({});
  REQUIRE(base.size() == 2);
  CHECK(base[0].severity == kNote);
  CHECK(base[0].text.find("hard-wired cutoff") != std::string::npos);
  CHECK(base[1].text.find("drop-out timer (5 s)") != std::string::npos);
  const auto risky = remains({{"fails_off: wired", "fails_off: accepted-risk"}});
  CHECK(risky[0].severity == kWarning);
  CHECK(risky[0].text.find("what remains is nothing") != std::string::npos);
  const Changes apart{
      {"port: /dev/ttyUSB1, speed: 9600 8N1, carries: range-frames }",
       "port: /dev/ttyUSB1, speed: 9600 8N1, carries: range-frames }\n  relays: { port: /dev/ttyUSB2, "
       "speed: 9600 8N1, carries: modbus }"},
      {"lift-contact: { line: shed", "lift-contact: { line: relays"},
      {"line: shed\n    station: 11", "line: relays\n    station: 11"}};
  CHECK(remains(apart).empty());
}

TEST_CASE("findings: a working volume too small for the starts that are allowed", "[config][findings]") {
  // 45 % of a sump of 600 L are 270 L. One start in 10 min at 2 L/s asks for 600 s · 2 L/s / 4 = 300 L; half
  // of 2 L/s against it make a cycle of 4 · 270 L / 2 L/s = 540 s.
  const auto sump = [](const std::string& flow, const std::string& starts) {
    return Changes{{"duty: drain\n", "duty: drain\n    flow_rate: " + flow +
                                         "\n    limits: { starts_per_hour: " + starts + " }\n"}};
  };
  expect({"short-cycle",
          kWarning,
          "drain",
          {"270.0 L", "120.0 L/min", "every 9 min", "one start in 10 min", "300.0 L", "UFC 3-240-04A",
           "MIL-HDBK-1005/9A"}},
         sump("120 L/min", "6"));
  CHECK(coded("short-cycle", findings_of(sump("107.9 L/min", "6"))).empty());
  CHECK(coded("short-cycle", findings_of(sump("108.1 L/min", "6"))).size() == 1);
  CHECK(coded("short-cycle", findings_of(sump("120 L/min", "7"))).empty());
  CHECK(coded("short-cycle", findings_of(sump("120 L/min", "0"))).empty());
}

TEST_CASE("findings: a motor that is started too often or rests too little", "[config][findings]") {
  // NEMA MG 10, Table 2-3: of 1.5 hp and 2 poles 12.9 starts an hour and 76 s, of 250 hp 1.8 and 1000 s.
  const auto motor = [](const std::string& of, const std::string& limits) {
    return Changes{
        {"duty: fill\n", "duty: fill\n    motor: { " + of + " }\n    limits: { " + limits + " }\n"}};
  };
  const std::string small = "rated: 1.1 kW, poles: 2";
  expect({"starts-beyond-motor",
          kWarning,
          "lift",
          {"starts_per_hour is 13", "1.1 kW or 1.48 hp, 2 poles", "rating of 1.5 hp", "12.9 starts",
           "next larger", "NEMA MG 10, Table 2-3", "to 12 or less"}},
         motor(small, "starts_per_hour: 13"));
  expect({"starts-beyond-motor", kWarning, "lift", {"0, no limit"}}, motor(small, "starts_per_hour: 0"));
  expect({"starts-beyond-motor", kWarning, "lift", {"250 hp", "1.8 starts", "to 1 or less"}},
         motor("rated: 186 kW, poles: 2", "starts_per_hour: 2"));
  CHECK(coded("starts-beyond-motor", findings_of(motor(small, "starts_per_hour: 12"))).empty());
  expect({"rest-below-motor", kWarning, "lift", {"75 s", "1.5 hp", "76 s", "NEMA MG 10, Table 2-3"}},
         motor(small, "off_at_least: 75 s"));
  expect({"rest-below-motor", kWarning, "lift", {"is 60 s", "76 s"}}, motor(small, "starts_per_hour: 8"));
  CHECK(coded("rest-below-motor", findings_of(motor(small, "off_at_least: 76 s"))).empty());
  CHECK(
      coded("rest-below-motor", findings_of(motor("rated: 1100 W, poles: 4", "off_at_least: 38 s"))).empty());
  // Without a motor nothing is known of it.
  const auto unnamed =
      findings_of({{"duty: fill\n", "duty: fill\n    limits: { off_at_least: 0 s, starts_per_hour: 0 }\n"}});
  CHECK(coded("starts-beyond-motor", unnamed).empty());
  CHECK(coded("rest-below-motor", unnamed).empty());
}

TEST_CASE("findings: a scan slower than the fastest timer", "[config][findings]") {
  expect({"scan-slower-than-timer", kWarning, "orchard", {"5 s", "3 s"}},
         {{"id: orchard", "id: orchard, scan: 5 s"}});
  CHECK(coded("scan-slower-than-timer", findings_of({{"id: orchard", "id: orchard, scan: 3 s"}})).empty());
}

TEST_CASE("findings: a line that is asked for more than it carries", "[config][findings]") {
  expect({"line-busy", kWarning, "shed", {"1200 baud", "%"}},
         {{"9600 8N1, carries: modbus", "1200 8N1, carries: modbus"}});
}

TEST_CASE("findings: a broker across the network without TLS or a login", "[config][findings]") {
  expect({"broker-without-tls", kWarning, "192.0.2.7", {"mqtts://"}}, {{"127.0.0.1", "192.0.2.7"}});
  expect({"broker-without-login", kWarning, "192.0.2.7", {"password_file"}},
         {{"mqtt://127.0.0.1", "mqtts://192.0.2.7"}});
  for (const char* url : {"mqtt://localhost", "\"mqtt://[::1]\"", "mqtt://127.1.2.3"}) {
    CHECK(coded("broker-without-tls", findings_of({{"mqtt://127.0.0.1", url}})).empty());
  }
  CHECK(coded("broker-without-login",
              findings_of({{"mqtt://127.0.0.1", "mqtts://192.0.2.7, user: u, password_file: /run/p"}}))
            .empty());
  // A name that only begins like an address is no loopback.
  CHECK(coded("broker-without-tls", findings_of({{"127.0.0.1", "127.example.org"}})).size() == 1);
}

TEST_CASE("findings: commands that cross the network in the clear", "[config][findings]") {
  const auto texts = [](const char* broker) {
    std::string all;
    for (const Finding& finding : coded("broker-without-tls", findings_of({{"mqtt://127.0.0.1 }", broker}})))
      all += finding.text;
    return all;
  };
  const std::string clear = texts("mqtt://192.0.2.7, accept: [reset, acknowledge] }");
  CHECK(clear.find("pose as the broker and command acknowledge, reset.") != std::string::npos);
  CHECK(texts("mqtt://192.0.2.7 }").find("command") == std::string::npos);
  CHECK(texts("mqtt://127.0.0.1, accept: [reset] }").empty());
  CHECK(texts("mqtts://192.0.2.7, accept: [reset] }").empty());
}

TEST_CASE("findings: a variable that is not set", "[config][findings]") {
  REQUIRE(unsetenv("STILLWELL_TEST_UNSET") == 0);
  expect({"unset-variable", kWarning, "broker", {"STILLWELL_TEST_UNSET"}},
         {{"127.0.0.1", "127.0.0.1, user: u, password_file: \"${STILLWELL_TEST_UNSET}/p\""}});
}

TEST_CASE("findings: each one has the place of what it is about", "[config][findings]") {
  const Loaded loaded =
      loaded_with({{"127.0.0.1", "192.0.2.7"},
                   {"id: orchard", "id: orchard, scan: 5 s"},
                   {"9600 8N1, carries: modbus", "1200 8N1, carries: modbus"},
                   {"every: 1 s", "blanking: 50 cm"},
                   {"fails_off: wired", "fails_off: accepted-risk"},
                   {"active: low, ", ""},
                   {"low: { at: 15 % }", "low: { at: 50 % }\n      low-low: { at: 48 % }"}});
  const std::map<std::string, int> lines{{"full-in-blanking", 30},      {"set-points-in-deadband", 36},
                                         {"start-below-low-alarm", 48}, {"contact-without-dropout", 23},
                                         {"broken-wire-unseen", 48},    {"scan-slower-than-timer", 1},
                                         {"broker-without-tls", 2},     {"line-busy", 4}};
  std::size_t known = 0;
  for (const Finding& finding : examine(*loaded.configuration)) {
    INFO(finding.code << " of " << finding.path);
    const Place place = place_of(loaded, finding);
    CHECK(place.line > 0);
    CHECK(place.column > 0);
    const auto line = lines.find(finding.code);
    if (line == lines.end()) continue;
    ++known;
    CHECK(place.line == line->second);
  }
  CHECK(known >= lines.size());
}

TEST_CASE("findings: each one names its rule's source, or says that it has none", "[config][findings]") {
  const auto all = findings_of({{"127.0.0.1", "192.0.2.7"},
                                {"id: orchard", "id: orchard, scan: 5 s"},
                                {"9600 8N1, carries: modbus", "1200 8N1, carries: modbus"},
                                {"every: 1 s", "blanking: 50 cm\n    reach: 2.5 m"},
                                {"fails_off: wired", "fails_off: accepted-risk"},
                                {"active: low, ", ""},
                                {"low: { at: 15 % }", "low: { at: 50 % }\n      low-low: { at: 48 % }"}});
  CHECK(all.size() >= 10);
  for (const Finding& finding : all) {
    INFO(finding.code << ": " << finding.text);
    const bool sourced = finding.text.find("common practice, no source") != std::string::npos ||
                         finding.text.find("ISA-18.2") != std::string::npos ||
                         finding.text.find("OASIS MQTT") != std::string::npos;
    CHECK(sourced);
  }
}
