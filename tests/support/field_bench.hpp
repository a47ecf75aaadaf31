#pragma once
// Wiring for tests of the field: lines to peers, and what is on them.

#include "stillwell/config/wiring.hpp"
#include "stillwell/field/field.hpp"

#include <chrono>
#include <optional>
#include <string>

namespace support {

inline stillwell::config::LineWiring bench_line(const std::string& port, stillwell::Duration timeout) {
  stillwell::config::LineWiring line;
  line.id = "bench";
  line.port = port;
  line.speed = 115200;
  line.timeout = timeout;
  line.quiet = std::chrono::microseconds{1750};
  return line;
}

inline stillwell::config::Wiring wiring_on(const std::string& port,
                                           stillwell::Duration timeout = std::chrono::seconds{1}) {
  stillwell::config::Wiring wiring;
  wiring.lines = {bench_line(port, timeout)};
  wiring.scan = std::chrono::seconds{1};
  return wiring;
}

/// What a gauge's newest sample holds.
inline std::optional<double> value(const stillwell::field::Field& field, std::size_t gauge) {
  const auto sample = field.latest().gauges.at(gauge);
  if (!sample.value) return std::nullopt;
  return sample.value->value();
}

/// An input register in millimetres.
inline stillwell::config::GaugeWiring bench_gauge(int station, int address, stillwell::Duration every) {
  stillwell::config::ModbusGauge gauge;
  gauge.station = station;
  gauge.number = {.table = stillwell::config::Table::input,
                  .address = address,
                  .as = stillwell::config::Encoding::u16,
                  .unit = 0.001};
  return {.line = {0}, .every = every, .source = gauge};
}

inline stillwell::config::SwitchWiring bench_switch(int station, int address, stillwell::Duration every) {
  return {.line = {0},
          .every = every,
          .station = station,
          .table = stillwell::config::Table::discrete,
          .address = address};
}

inline stillwell::config::ContactWiring bench_contact(int station, int coil) {
  stillwell::config::ContactWiring contact;
  contact.id = "bench-contact";
  contact.line = {0};
  contact.station = station;
  contact.output = stillwell::config::CoilOutput{coil};
  contact.every = std::chrono::milliseconds{200};
  return contact;
}

}  // namespace support
