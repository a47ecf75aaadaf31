// The field against a Modbus server that is not ours: Debian's python3-pymodbus 3.0.0 behind a pair of ptys.
// What it was told is asked of the server itself, not of our own read-back.

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"

#include <filesystem>

#include "support/catch.hpp"
#include "support/field_bench.hpp"
#include "support/places.hpp"
#include "support/process.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::eventually;

namespace {

constexpr int kStation = 7;

/// Two ptys that are each other's far end, and the server on one of them.
struct Bench {
  support::TemporaryDirectory directory;
  std::string ours = directory.file("ours");
  std::string theirs = directory.file("theirs");
  support::Process cable{{"socat", "pty,raw,echo=0,link=" + ours, "pty,raw,echo=0,link=" + theirs}};
  bool cabled = eventually([&] { return std::filesystem::exists(ours) && std::filesystem::exists(theirs); });
  // Debian's interpreter, which has Debian's packages; another one may come first in PATH.
  support::Process server{{"/usr/bin/python3", support::source_dir() + "/tests/support/pymodbus_server.py",
                           theirs, std::to_string(kStation)}};

  Bench() {
    REQUIRE(cabled);
    const bool ready = server.wait_line("ready").has_value();
    INFO(server.err());
    REQUIRE(ready);
  }

  [[nodiscard]] config::Wiring wiring() const {
    config::Wiring wired;
    wired.lines = {support::bench_line(ours, 2s)};
    wired.lines[0].speed = 19200;
    wired.gauges = {support::bench_gauge(kStation, 0, 100ms)};
    std::get<config::ModbusGauge>(wired.gauges[0].source).air = {
        .table = config::Table::input, .address = 1, .as = config::Encoding::i16, .unit = 0.1};
    wired.switches = {support::bench_switch(kStation, 3, 100ms), support::bench_switch(kStation, 4, 100ms)};
    wired.contacts = {support::bench_contact(kStation, 2)};
    wired.scan = 1s;
    return wired;
  }
};

}  // namespace

TEST_CASE("another server: its gauge and switches are read, its coil is written and confirmed",
          "[e2e][field]") {
  Bench bench;
  field::Field field{bench.wiring(), {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().gauges.at(0).value.has_value(); }));
  CHECK(field.latest().gauges.at(0).value->value() == Approx(1.953));
  CHECK(field.latest().gauges.at(0).air.value().value() == Approx(21.5));
  CHECK(eventually([&] { return field.latest().switches.at(0).closed == true; }));
  CHECK(eventually([&] { return field.latest().switches.at(1).closed == false; }));

  REQUIRE(bench.server.wait_line("coil 2 off"));  // the first thing that was done
  REQUIRE(eventually([&] {
    field.drive({Order::on}, field::now());
    return field.latest().contacts.at(0).on == true;
  }));
  CHECK(bench.server.wait_line("coil 2 on"));
  CHECK(field.release(10s));
  CHECK(field.latest().contacts.at(0).on == false);
  CHECK(field.latest().lines.at(0).failed == 0);
}

TEST_CASE("another server: a register that it does not have is no answer, and the rest is read on",
          "[e2e][field]") {
  Bench bench;
  config::Wiring wiring = bench.wiring();
  wiring.gauges.push_back(support::bench_gauge(kStation, 500, 100ms));
  wiring.gauges.push_back(support::bench_gauge(kStation, 31, 100ms));  // its last one: no longer read works
  field::Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().gauges.at(1).fault == Reason::no_answer; }));
  CHECK(eventually([&] { return field.latest().gauges.at(0).value.has_value(); }));
  CHECK(eventually([&] { return field.latest().gauges.at(2).value.has_value(); }));
  CHECK(field.latest().lines.at(0).failed == 0);
}
