#include "stillwell/config/bus_load.hpp"

#include "stillwell/config/serial_speed.hpp"

#include <chrono>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::config;
using namespace std::chrono_literals;

namespace {

LineWiring line_at(int baud) {
  LineWiring line;
  line.speed = baud;
  line.quiet = least_quiet(baud);
  return line;
}

GaugeWiring gauge_read_every(Duration every, Encoding as) {
  ModbusGauge modbus;
  modbus.number.as = as;
  return {.line = {0}, .every = every, .source = modbus};
}

}  // namespace

TEST_CASE("bus load: a read takes the time of the published transaction table", "[config][reference]") {
  // 08_modbus_timing.csv, min_transaction_ms: request, pause, reply, pause. Reads alternate between n and n +
  // 1 registers, and the longer one is reckoned: one register costs what two do in the table.
  const support::Csv table("08_modbus_timing.csv");
  int compared = 0;
  for (std::size_t row = 0; row < table.size(); ++row) {
    const int registers = std::stoi(table.at(row, "registers"));
    if (registers != 2 && registers != 3) continue;
    const int baud = std::stoi(table.at(row, "baud"));
    INFO(baud << " baud, " << registers << " registers");
    Wiring wiring;
    wiring.lines.push_back(line_at(baud));
    wiring.gauges.push_back(gauge_read_every(1s, registers == 2 ? Encoding::u16 : Encoding::f32be));
    CHECK(bus_load(wiring, {0}) * 1000.0 ==
          Approx(std::stod(table.at(row, "min_transaction_ms"))).epsilon(1e-5));
    ++compared;
  }
  CHECK(compared >= 10);
}

TEST_CASE("bus load: rates add up, and only those of the line", "[config]") {
  Wiring wiring;
  wiring.lines = {line_at(9600), line_at(9600)};
  wiring.gauges.push_back(gauge_read_every(1s, Encoding::u16));
  const double one = bus_load(wiring, {0});
  wiring.gauges.push_back(gauge_read_every(500ms, Encoding::u16));
  CHECK(bus_load(wiring, {0}) == Approx(3 * one));
  CHECK(bus_load(wiring, {1}) == 0.0);
}

TEST_CASE("bus load: a contact costs its two read-backs and its refreshes", "[config]") {
  Wiring wiring;
  wiring.lines = {line_at(9600)};
  ContactWiring contact;
  contact.every = 1s;
  contact.output = CoilOutput{0};
  wiring.contacts.push_back(contact);
  // 8 + 6 and 8 + 7 bytes and four pauses, by hand: 29 * 11 / 9600 + 4 * 3.5 * 11 / 9600 s.
  CHECK(bus_load(wiring, {0}) == Approx((29 + 14) * 11.0 / 9600).epsilon(1e-5));
  wiring.contacts[0].refresh = Refresh{.address = 40, .hold = 3s, .unit = 1s};
  // One more write a second: 8 + 8 bytes and two pauses.
  CHECK(bus_load(wiring, {0}) == Approx((29 + 14 + 16 + 7) * 11.0 / 9600).epsilon(1e-5));
}

TEST_CASE("bus load: a companion close by rides in the same read", "[config]") {
  Wiring near;
  near.lines = {line_at(9600)};
  near.gauges.push_back(gauge_read_every(1s, Encoding::u16));
  const double alone = bus_load(near, {0});
  std::get<ModbusGauge>(near.gauges[0].source).air = RegisterNumber{.address = 1, .as = Encoding::i16};
  CHECK(bus_load(near, {0}) == Approx(alone + 2 * 11.0 / 9600).epsilon(1e-5));
  std::get<ModbusGauge>(near.gauges[0].source).air->address = 100;
  CHECK(bus_load(near, {0}) == Approx(2 * alone).epsilon(1e-5));
}

TEST_CASE("bus load: a status and far companions cost the transactions that they take", "[config]") {
  Wiring wiring;
  wiring.lines = {line_at(9600)};
  wiring.gauges.push_back(gauge_read_every(1s, Encoding::u16));
  const double alone = bus_load(wiring, {0});
  auto& gauge = std::get<ModbusGauge>(wiring.gauges[0].source);
  gauge.status = StatusRegister{.table = Table::holding, .address = 0, .good = {0}};
  gauge.water = RegisterNumber{.address = 100, .as = Encoding::i16};
  gauge.humidity = RegisterNumber{.address = 101, .as = Encoding::u16};  // beside the water
  CHECK(bus_load(wiring, {0}) == Approx(3 * alone + 2 * 11.0 / 9600).epsilon(1e-5));
}

TEST_CASE("bus load: a frame costs all its bytes and the byte that asks", "[config]") {
  Wiring wiring;
  wiring.lines = {line_at(9600)};
  field::FrameFormat format;
  format.value = field::FrameValue::u32be;
  format.sum = field::FrameSum::crc_16;
  format.lead = 2;
  format.trail = 1;
  format.ask = 0x55;
  wiring.gauges.push_back({.line = {0}, .every = 1s, .source = format});
  CHECK(bus_load(wiring, {0}) == Approx((1 + 2 + 4 + 1 + 2 + 1) * 11.0 / 9600).epsilon(1e-5));
}

TEST_CASE("bus load: nothing is known of what is behind a gateway", "[config]") {
  Wiring wiring;
  wiring.lines = {line_at(9600)};
  wiring.lines[0].tcp = TcpAddress{.host = "gateway"};
  wiring.gauges.push_back(gauge_read_every(100ms, Encoding::u16));
  CHECK(bus_load(wiring, {0}) == 0.0);
}
