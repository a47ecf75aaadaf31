#pragma once
// A configuration that uses every section and has no fault, to be broken in one place at a time. Line numbers
// are part of the tests: site is line 1.

#include <stdexcept>
#include <string>
#include <string_view>

namespace support {

inline const std::string kConfigBase = R"(site: { id: orchard }
broker: { url: mqtt://127.0.0.1 }
lines:
  shed: { port: /dev/ttyUSB0, speed: 9600 8N1, carries: modbus }
  mast: { port: /dev/ttyUSB1, speed: 9600 8N1, carries: range-frames }
gauges:
  header-top:
    line: shed
    station: 1
    distance: { table: input, address: 0, as: u16, unit: mm }
    every: 1 s
  cistern-top:
    line: mast
    frame: { kind: binary, start: 0xFF, value: u16be, sum: low-byte, unit: mm }
  sump-depth:
    line: shed
    station: 4
    depth: { table: holding, address: 2, as: f32be, unit: m }
switches:
  full-float: { line: shed, station: 10, table: discrete, address: 0, active: low, broken: on }
  running: { line: shed, station: 10, table: discrete, address: 1 }
contacts:
  lift-contact: { line: shed, station: 10, coil: 0, fails_off: wired }
  drain-contact:
    line: shed
    station: 11
    register: { address: 3, on: 1, off: 0 }
    refresh: { address: 40, for: 5 s }
tanks:
  header:
    gauge: header-top
    to_floor: 2.85 m
    to_full: 0.40 m
    holds: { shape: vertical-cylinder, diameter: 2.4 m }
    alarms:
      low: { at: 15 % }
  cistern:
    gauge: cistern-top
    to_floor: 2.5 m
    to_full: 0.5 m
    holds: { capacity: 5000 L }
  sump:
    gauge: sump-depth
    full: 1.2 m
    holds: { shape: rectangular, length: 1 m, width: 0.5 m }
pumps:
  lift:
    duty: fill
    tank: header
    from: cistern
    start_at: 45 %
    stop_at: 92 %
    contact: lift-contact
    feedback: { switch: running }
    trips: { float: full-float }
    dry_run: { source_below: 15 % }
  drain:
    duty: drain
    tank: sump
    to: cistern
    start_at: 60 %
    stop_at: 15 %
    contact: drain-contact
    trips: { high: 90 % }
)";

/// The base with the first occurrence of `from` replaced. Throws when it does not occur, so that no test can
/// pass by breaking nothing.
inline std::string replaced(std::string text, std::string_view from, std::string_view to) {
  const std::size_t at = text.find(from);
  if (at == std::string::npos) throw std::runtime_error("the base does not contain: " + std::string(from));
  return text.replace(at, from.size(), to);
}

inline std::string base_with(std::string_view from, std::string_view to) {
  return replaced(kConfigBase, from, to);
}

}  // namespace support
