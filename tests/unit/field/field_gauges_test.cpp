// A gauge with a status and companions on a Modbus line, through the whole field.

#include "stillwell/field/field.hpp"

#include <atomic>

#include "support/catch.hpp"
#include "support/field_bench.hpp"
#include "support/modbus_module.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using support::Bytes;
using support::eventually;
using support::value;
using support::wiring_on;
using Bursts = std::vector<support::Burst>;

namespace {

constexpr Duration kEvery = 50ms;

config::RegisterNumber tenths_at(int address) {
  return {.table = config::Table::input, .address = address, .as = config::Encoding::i16, .unit = 0.1};
}

}  // namespace

TEST_CASE("field: a gauge of many registers is read whole, and its status rules", "[field][modbus]") {
  support::ModbusModule module{3};
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  module.set_word(4, 0, 1953);
  module.set_word(4, 40, 605);
  module.set_word(3, 7, 2);
  config::Wiring wiring = wiring_on(peer.path());
  auto gauge = support::bench_gauge(3, 0, kEvery);
  auto& wired = std::get<config::ModbusGauge>(gauge.source);
  wired.humidity = {.table = config::Table::input, .address = 40, .as = config::Encoding::u16, .unit = 0.1};
  wired.status = config::StatusRegister{.table = config::Table::holding, .address = 7, .good = {2}};
  wiring.gauges = {gauge};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return value(field, 0) == Approx(1.953); }));
  CHECK(field.latest().gauges.at(0).humidity.value().value() == Approx(60.5));
  module.set_word(3, 7, 3);  // it has lost its echo, and goes on showing the last distance
  CHECK(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK_FALSE(value(field, 0).has_value());
  module.set_word(3, 7, 2);
  CHECK(eventually([&] { return value(field, 0).has_value(); }));
}

TEST_CASE("field: without its status a gauge has no reading", "[field][modbus]") {
  support::ModbusModule module{3};
  support::PtyPeer peer{
      [&](const Bytes& request) { return request[1] == 3 ? Bursts{} : module.serve(request); }};
  config::Wiring wiring = wiring_on(peer.path(), 50ms);
  auto gauge = support::bench_gauge(3, 0, kEvery);
  std::get<config::ModbusGauge>(gauge.source).status =
      config::StatusRegister{.table = config::Table::holding, .address = 7, .good = {0}};
  wiring.gauges = {gauge};
  Field field{wiring, {}};
  field.start();
  CHECK(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK_FALSE(value(field, 0).has_value());
}

TEST_CASE("field: a module that lets no gap be read is asked for each register by itself",
          "[field][modbus]") {
  support::ModbusModule module{3};
  module.set_word(4, 0, 1953);
  module.set_word(4, 4, 215);
  module.set_word(4, 5, 605);
  std::atomic<int> refused{0};
  support::PtyPeer peer{[&](const Bytes& request) {
    const int first = request[3];
    const bool covers_the_gap = first <= 1 && first + request[5] > 1;
    if (!covers_the_gap) return module.serve(request);
    ++refused;
    return Bursts{{support::with_crc({3, 0x84, 2})}};
  }};
  config::Wiring wiring = wiring_on(peer.path());
  auto gauge = support::bench_gauge(3, 0, kEvery);
  std::get<config::ModbusGauge>(gauge.source).air = tenths_at(4);
  std::get<config::ModbusGauge>(gauge.source).humidity = tenths_at(5);
  wiring.gauges = {gauge};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return value(field, 0) == Approx(1.953); }));
  REQUIRE(eventually([&] { return field.latest().gauges.at(0).air.has_value(); }));
  CHECK(field.latest().gauges.at(0).air->value() == Approx(21.5));
  CHECK(field.latest().gauges.at(0).humidity.value().value() == Approx(60.5));
  // Once all together, and once the number with a register more; neither is tried again.
  REQUIRE(eventually([&] { return peer.requests().size() >= 60; }));
  CHECK(refused <= 2);
}

TEST_CASE("field: a companion that does not exist beside the number costs the number nothing",
          "[field][modbus]") {
  support::ModbusModule module{3};
  module.set_word(4, 0, 1953);
  support::PtyPeer peer{[&](const Bytes& request) {
    const bool is_there = request[3] == 0 && request[5] == 1;  // one register is all it has
    return is_there ? module.serve(request) : Bursts{{support::with_crc({3, 0x84, 2})}};
  }};
  config::Wiring wiring = wiring_on(peer.path());
  auto gauge = support::bench_gauge(3, 0, kEvery);
  std::get<config::ModbusGauge>(gauge.source).air = tenths_at(1);
  wiring.gauges = {gauge};
  Field field{wiring, {}};
  field.start();
  CHECK(eventually([&] { return value(field, 0) == Approx(1.953); }));
  CHECK_FALSE(field.latest().gauges.at(0).air.has_value());
}
