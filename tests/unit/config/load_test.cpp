#include "stillwell/config/configuration.hpp"

#include <chrono>
#include <clocale>
#include <cstdlib>
#include <filesystem>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/config_whole.hpp"
#include "support/process.hpp"

using namespace stillwell;
using namespace stillwell::config;
using support::whole;
using namespace std::chrono_literals;

TEST_CASE("load: the base becomes the model it describes", "[config]") {
  const Configuration site = whole(support::kConfigBase);
  CHECK(site.model.id == "orchard");
  CHECK(site.model.name == "orchard");
  CHECK(site.model.scan == 1s);
  CHECK(site.wiring.scan == 1s);
  REQUIRE(site.broker);
  CHECK(site.broker->host == "127.0.0.1");
  CHECK(site.broker->port == 1883);
  REQUIRE(site.model.tanks.size() == 3);
  const Tank& header = site.model.tanks[0];
  CHECK(header.name == "header");
  CHECK(header.full().value() == Approx(2.45));
  CHECK(header.gauges.front().mounting.margin.value() == Approx(0.1225));  // 5 % of span
  CHECK(site.model.tanks[1].capacity().value() == Approx(5000.0));
  REQUIRE(site.model.pumps.size() == 2);
  const Pump& lift = site.model.pumps[0];
  CHECK(lift.tank.at == 0);
  REQUIRE(lift.source);
  CHECK(lift.source->at == 1);
  CHECK(lift.start_level.value() == Approx(0.45 * 2.45));
  CHECK(lift.stop_level.value() == Approx(0.92 * 2.45));
  REQUIRE(lift.float_trip);
  CHECK(lift.float_trip->at == 0);
}

TEST_CASE("load: what is left out has the documented default", "[config]") {
  const Configuration site = whole(support::kConfigBase);
  const LineWiring& line = site.wiring.lines[0];
  CHECK(line.timeout == 300ms);
  CHECK(line.tries == 2);
  CHECK(seconds_of(line.quiet) == Approx(3.5 * 11 / 9600).epsilon(1e-6));
  CHECK(site.wiring.gauges[1].every == 1s);
  CHECK(site.model.gauges[0].rules.stale_after == 3s);
  CHECK_FALSE(site.model.gauges[0].rules.reach);
  const Pump& lift = site.model.pumps[0];
  REQUIRE(lift.high_trip);
  CHECK(lift.high_trip->value() == Approx(0.94 * 2.45));  // 2 % of span above stop_at
  REQUIRE(lift.source_clear);
  CHECK(lift.source_clear->value() == Approx(0.25 * 2.0));  // source_below + 10 % of span
  CHECK(lift.contact_within == 3s);
  REQUIRE(lift.feedback);
  CHECK(lift.feedback->within == 3s);
  CHECK(lift.limits.on_at_least == 0s);
  CHECK(lift.limits.off_at_least == 60s);
  CHECK(lift.limits.starts_per_hour == 8);
  CHECK(lift.limits.run_at_most == 2h);
  CHECK(lift.limits.after_power_up == 30s);
  CHECK(lift.first_mode == Mode::automatic);
  CHECK(lift.allowed.empty());
}

TEST_CASE("load: alarms rise and clear at levels, and every tank has an unwell alarm", "[config]") {
  const Configuration site = whole(support::kConfigBase);
  REQUIRE(site.model.alarms.size() > 4);
  const Alarm& low = site.model.alarms[0];
  CHECK(low.id == "header/low");
  CHECK(low.at.value() == Approx(0.15 * 2.45));
  CHECK(low.clears_at.value() == Approx(0.20 * 2.45));
  CHECK(low.after == 60s);
  CHECK(low.priority == Priority::medium);
  CHECK_FALSE(low.latch);
  CHECK(site.model.alarms[1].id == "header/unwell");
  CHECK(site.model.alarms[3].id == "sump/unwell");
  CHECK(site.model.alarms[3].after == 60s);
  std::vector<std::string> others;
  for (std::size_t at = 4; at < site.model.alarms.size(); ++at)
    others.push_back(site.model.alarms[at].id);
  CHECK(others == std::vector<std::string>{"lift/tripped", "lift/locked-out", "lift/stuck-on",
                                           "lift/no-feedback", "drain/tripped", "drain/locked-out",
                                           "lift-contact/contact-unreachable",
                                           "drain-contact/contact-unreachable", "shed/line-down",
                                           "mast/line-down", "orchard/state-file", "orchard/clock"});
}

TEST_CASE("load: a leak alarm gives its tank a night", "[config]") {
  const auto with = [](const std::string& leak) {
    return whole(support::base_with("low: { at: 15 % }", "leak: " + leak));
  };
  const Configuration site = with("{ between: \"01:00-04:00\", more_than: 4 L/h, priority: high }");
  const Alarm& leak = site.model.alarms.at(1);  // unwell comes before it
  CHECK(leak.id == "header/leak");
  CHECK(leak.kind == AlarmKind::leak);
  CHECK(leak.priority == Priority::high);
  CHECK(leak.more_than.value() == Approx(4.0 / 3600.0));
  CHECK(site.model.tanks[0].night.from_minute == 60);
  CHECK(site.model.tanks[0].night.to_minute == 240);
  CHECK(site.model.tanks[0].night.more_than == leak.more_than);
  CHECK(site.model.tanks[1].night.more_than == Tank::kNoLeak);
  const Tank usual = with("{ more_than: 0.3 m3/h }").model.tanks[0];
  CHECK(usual.night.from_minute == 120);
  CHECK(usual.night.to_minute == 240);
  const Tank late = with("{ between: \"22:00-24:00\", more_than: 4 L/h }").model.tanks[0];
  CHECK(late.night.to_minute == 0);
}

TEST_CASE("load: a deadband moves a set point in its own unit", "[config]") {
  const auto low_of = [](const std::string& alarm) {
    return whole(support::base_with("low: { at: 15 % }", alarm)).model.alarms.at(0);
  };
  CHECK(low_of("low: { at: 15 %, deadband: 10 cm }").clears_at.value() == Approx(0.15 * 2.45 + 0.10));
  CHECK(low_of("low: { at: 50 cm, deadband: 5 % }").clears_at.value() == Approx(0.50 + 0.05 * 2.45));
  const Alarm high = low_of("high-high: { at: 95 %, deadband: 2 %, latch: true }");
  CHECK(high.clears_at.value() == Approx(0.93 * 2.45));
  CHECK(high.priority == Priority::high);
  CHECK(high.after == 5s);
  CHECK(high.latch);
}

TEST_CASE("load: a percentage by volume and a contents are turned into levels", "[config]") {
  const Configuration site = whole(
      support::base_with("holds: { capacity: 5000 L }",
                         "holds: { capacity: 5000 L }\n    by: volume\n    alarms: { low: { at: 1000 L } }"));
  CHECK(site.model.tanks[1].by_volume);
  CHECK(site.model.alarms[2].at.value() == Approx(0.4));                 // a fifth of 2 m
  CHECK(site.model.alarms[2].clears_at.value() == Approx(0.5));          // 5 % of 5000 L more
  CHECK(site.model.pumps[0].source_below->value() == Approx(0.15 * 2));  // even section: same as by level
}

TEST_CASE("load: a depth gauge's tank has its full line above the floor and its sensor's height",
          "[config]") {
  const Configuration site = whole(support::base_with("station: 4\n", "station: 4\n    mounted_at: 10 cm\n"));
  const Tank& sump = site.model.tanks[2];
  CHECK(site.model.gauges[2].rules.measures == Measures::depth);
  CHECK(sump.full().value() == Approx(1.2));
  CHECK(to_level(Metres{0.5}, site.model.gauges[2].rules, sump.gauges.front().mounting).value() ==
        Approx(0.6));
}

TEST_CASE("load: a drain pump's suction is its own tank and its receiver may stop it",
          "[config][interlock]") {
  const Configuration site = whole(support::kConfigBase);
  const Pump& drain = site.model.pumps[1];
  CHECK(drain.duty == Duty::drain);
  REQUIRE(drain.source);
  CHECK(drain.source->at == 2);
  REQUIRE(drain.receiver);
  CHECK(drain.receiver->at == 1);
  CHECK(drain.high_trip->value() == Approx(0.9 * 2.0));
  CHECK(drain.start_level > drain.stop_level);
}

TEST_CASE("load: wiring keeps the file's order and every field", "[config]") {
  const Configuration site = whole(support::kConfigBase);
  REQUIRE(site.wiring.gauges.size() == 3);
  const auto& modbus = std::get<ModbusGauge>(site.wiring.gauges[2].source);
  CHECK(modbus.station == 4);
  CHECK(modbus.number.table == Table::holding);
  CHECK(modbus.number.address == 2);
  CHECK(modbus.number.as == Encoding::f32be);
  CHECK(modbus.number.unit == 1.0);
  CHECK(std::get<ModbusGauge>(site.wiring.gauges[0].source).number.unit == Approx(0.001));
  const auto& frame = std::get<field::FrameFormat>(site.wiring.gauges[1].source);
  CHECK(frame.start == 0xFF);
  CHECK(frame.unit.value() == Approx(0.001));
  CHECK_FALSE(frame.ask);
  CHECK(site.wiring.gauges[1].line.at == 1);
  const ContactWiring& drain = site.wiring.contacts[1];
  CHECK(std::get<RegisterOutput>(drain.output).address == 3);
  REQUIRE(drain.refresh);
  CHECK(drain.refresh->hold == 5s);
  CHECK(drain.refresh->unit == 1s);
  CHECK(site.model.switches[0].rules.active_low);
  CHECK(site.model.switches[0].rules.broken_is_on == true);
  CHECK_FALSE(site.model.switches[1].rules.broken_is_on);
}

TEST_CASE("load: a proof is never older than the delay that waits for it", "[config][interlock]") {
  const Configuration site =
      whole(support::base_with("{ switch: running }", "{ switch: running, within: 2 s }"));
  CHECK(site.model.switches[1].rules.stale_after == 2s);
}

TEST_CASE("load: a contact is unreachable after three reads, but never before 2 s", "[config][interlock]") {
  CHECK(whole(support::base_with("fails_off: wired", "fails_off: wired, every: 200 ms"))
            .model.pumps[0]
            .contact_within == 2s);
  CHECK(whole(support::base_with("fails_off: wired", "fails_off: wired, every: 30 s"))
            .model.pumps[0]
            .contact_within == 60s);
}

TEST_CASE("load: stale_after is at most 60 s whatever the rate", "[config][interlock]") {
  CHECK(whole(support::base_with("every: 1 s", "every: 25 s")).model.gauges[0].rules.stale_after == 60s);
}

TEST_CASE("load: windows of the day are minutes", "[config]") {
  const Configuration site =
      whole(support::base_with("duty: fill", "duty: fill\n    allowed: [\"22:00-06:00\", \"11:00-15:00\"]"));
  REQUIRE(site.model.pumps[0].allowed.size() == 2);
  CHECK(site.model.pumps[0].allowed[0].from == 1320);
  CHECK(site.model.pumps[0].allowed[0].to == 360);
}

TEST_CASE("load: nothing is accepted over the network that the file does not name", "[config]") {
  const auto accept = [](const char* broker) {
    return whole(support::base_with("mqtt://127.0.0.1 }", broker)).broker->accept;
  };
  CHECK(accept("mqtt://127.0.0.1 }").empty());
  CHECK(accept("mqtt://127.0.0.1, accept: [mode, acknowledge, mode] }") ==
        std::set{Accept::acknowledge, Accept::mode});
  CHECK(accept("mqtt://127.0.0.1, accept: [reset] }") == std::set{Accept::reset});
}

TEST_CASE("load: a variable that is not set leaves control alone and is named", "[config]") {
  REQUIRE(unsetenv("STILLWELL_TEST_UNSET") == 0);
  const Configuration site = whole(support::base_with(
      "mqtt://127.0.0.1 }", "mqtt://127.0.0.1, user: u, password_file: '${STILLWELL_TEST_UNSET}/p' }"));
  CHECK(site.broker->unset_variable == "STILLWELL_TEST_UNSET");
  REQUIRE(setenv("STILLWELL_TEST_SET", "/run/x", 1) == 0);
  const Configuration set = whole(support::base_with(
      "mqtt://127.0.0.1 }", "mqtt://127.0.0.1, user: u, password_file: '${STILLWELL_TEST_SET}/p' }"));
  CHECK(set.broker->unset_variable.empty());
  CHECK(set.broker->password_file == "/run/x/p");
}

TEST_CASE("load: what is no readable file is said, not thrown", "[config][errors]") {
  const support::TemporaryDirectory directory;
  CHECK(load(directory.path()).problems.at(0).text == "is not a file");
  CHECK(load(directory.file("none.yaml")).problems.at(0).text == "there is no such file");
  CHECK(load(directory.file("none.yaml")).problems.at(0).line == 0);
  support::write_file(directory.file("large.yaml"), std::string(300'000, '#'));
  CHECK(load(directory.file("large.yaml")).problems.at(0).text.find("256 kB") != std::string::npos);
  support::write_file(directory.file("site.yaml"), support::kConfigBase);
  CHECK(load(directory.file("site.yaml")).configuration);
}

TEST_CASE("load: the locale of the machine does not change a number", "[config]") {
  const char* before = std::setlocale(LC_ALL, nullptr);
  const std::string restore = before == nullptr ? "C" : before;
  for (const char* name : {"de_DE.UTF-8", "pt_PT.UTF-8", "C.UTF-8"}) {
    (void)std::setlocale(LC_ALL, name);
    CHECK(whole(support::kConfigBase).model.tanks[0].gauges.front().mounting.to_floor.value() == 2.85);
  }
  (void)std::setlocale(LC_ALL, restore.c_str());
}

TEST_CASE("load: a tank's gauges are trusted as settle says, and by default", "[config]") {
  const Configuration plain = whole(support::kConfigBase);
  const Settle& settle = plain.model.gauges[0].rules.settle;
  CHECK(settle.spikes == 7);
  CHECK(settle.noise == Metres{0.01});
  CHECK(settle.frozen_after == Metres{0.05});
  CHECK(plain.model.tanks[0].fastest->value() == Approx(2.45 / 60.0));  // the whole span in a minute
  CHECK(plain.model.tanks[0].smooth == 10s);
  CHECK_FALSE(plain.model.tanks[0].draws_at_most);
  const Configuration told = whole(support::base_with(
      "    gauge: header-top\n",
      "    gauge: header-top\n    draws_at_most: 30 L/min\n    gains_at_most: 0 L/min\n"
      "    settle: { spikes: 5, smooth: 4 s, fastest: 60 mm/min, noise: 2 cm, frozen_after: 8 cm }\n"));
  const Tank& header = told.model.tanks[0];
  CHECK(header.fastest->value() == Approx(0.001));
  CHECK(header.draws_at_most->value() == Approx(0.5));
  CHECK(header.gains_at_most->value() == 0.0);
  CHECK(header.smooth == 4s);
  CHECK(told.model.gauges[0].rules.settle.spikes == 5);
  CHECK(told.model.gauges[0].rules.settle.frozen_after == Metres{0.08});
  CHECK(told.model.gauges[0].rules.settle.spike_floor.value() ==
        Approx(spike_floor(5, Metres{0.001}, Metres{0.02}).value()));
}

TEST_CASE("load: several gauges on one tank, each mounted in its own way", "[config]") {
  const Configuration site = whole(support::replaced(
      support::base_with("    gauge: header-top\n",
                         "    gauges: [header-top, { gauge: spare, to_floor: 2.95 m }, well]\n"
                         "    combine: mean\n    disagree: 8 cm\n"),
      "gauges:\n",
      "gauges:\n  spare: { line: shed, station: 7, distance: { table: input, address: 0, as: u16, unit: mm } "
      "}\n"
      "  well: { line: shed, station: 8, depth: { table: input, address: 0, as: u16, unit: mm }, mounted_at: "
      "5 cm }\n"));
  const Tank& header = site.model.tanks[0];
  REQUIRE(header.gauges.size() == 3);
  CHECK(header.combine.how == Combine::mean);
  CHECK(header.combine.disagree == Metres{0.08});
  CHECK(header.full().value() == Approx(2.45));
  CHECK(header.gauges[0].mounting.to_full.value() == Approx(0.40));
  CHECK(header.gauges[1].mounting.to_floor.value() == Approx(2.95));
  CHECK(header.gauges[1].mounting.to_full.value() == Approx(0.50));
  CHECK(header.gauges[2].mounting.to_floor.value() == Approx(-0.05));
  for (const TankGauge& one : header.gauges)
    CHECK(site.model.gauges[one.gauge.at].rules.settle.spikes == 7);
}

TEST_CASE("load: what a sensor assumes is corrected within the site's air", "[config]") {
  const Configuration site = whole(support::replaced(
      support::base_with("site: { id: orchard }", "site: { id: orchard, air: [-5 degC, 45 degC] }"),
      "  header-top:\n", "  header-top:\n    assumes: 15 degC\n"));
  const Correction& correction = site.model.gauges[0].rules.correction;
  CHECK(correction.assumes == Celsius{15.0});
  CHECK(correction.air.lowest == Celsius{-5.0});
  CHECK(correction.air.highest == Celsius{45.0});
  CHECK_FALSE(correction.water);
  CHECK_FALSE(site.model.gauges[1].rules.correction.assumes);
}
