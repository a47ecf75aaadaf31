#pragma once
// The bench plant with a wiring: what the tests of the devices need.

#include "stillwell/orchard/module.hpp"

#include "support/plant_bench.hpp"

namespace bench {

using namespace stillwell;

/// Line 0 (Modbus): header gauge at station 1 with air beside it, bore gauge as a float at station 4, float
/// and feedback and all contacts at station 10; the drain's relay has a drop-out timer. Line 1: cistern,
/// frames.
inline config::Wiring wiring() {
  using namespace std::chrono_literals;
  using config::Encoding;
  using config::Table;
  config::Wiring wiring;
  wiring.lines.resize(2);
  wiring.lines[0] = {.id = "shed", .port = "/nowhere/shed", .speed = 9600, .timeout = 300ms, .quiet = 4ms};
  wiring.lines[1] = {
      .id = "mast", .port = "/nowhere/mast", .speed = 9600, .carries = config::Carries::range_frames};
  const LineIndex shed{0};
  const config::RegisterNumber air{Table::input, 1, Encoding::i16, 0.1};
  wiring.gauges.push_back({shed, 1s, config::ModbusGauge{1, {Table::input, 0, Encoding::u16, 0.001}, air}});
  field::FrameFormat frames;
  frames.unit = Metres{0.001};
  wiring.gauges.push_back({LineIndex{1}, 1s, frames});
  wiring.gauges.push_back({shed, 1s, config::ModbusGauge{4, {Table::holding, 2, Encoding::f32be, 1.0}, {}}});
  wiring.gauges.push_back({shed, 1s, config::ModbusGauge{5, {Table::input, 0, Encoding::u16, 0.001}, {}}});
  wiring.switches.push_back({shed, 1s, 10, Table::discrete, 0});
  wiring.switches.push_back({shed, 1s, 10, Table::discrete, 1});
  wiring.contacts.resize(3);
  wiring.contacts[0] = {.id = "lift-contact", .line = shed, .station = 10, .output = config::CoilOutput{0}};
  wiring.contacts[1] = {
      .id = "bore-contact", .line = shed, .station = 10, .output = config::RegisterOutput{3, 1, 0}};
  wiring.contacts[2] = {.id = "drain-contact", .line = shed, .station = 10, .output = config::CoilOutput{1}};
  wiring.contacts[2].refresh = config::Refresh{40, 5s, 1s};
  return wiring;
}

inline orchard::Bytes ask(int station, std::uint8_t function, int address, int value) {
  const auto low = [](int word) { return static_cast<std::uint8_t>(word & 0xFF); };
  const orchard::Bytes pdu{function, low(address >> 8), low(address), low(value >> 8), low(value)};
  return orchard::frame_of(low(station), pdu);
}

}  // namespace bench
