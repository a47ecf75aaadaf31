// What is wrong with a sensor's description, one fault at a time.
#include "stillwell/config/configuration.hpp"

#include "support/catch.hpp"
#include "support/config_broken.hpp"

using namespace stillwell::config;
using support::expect_refused;

TEST_CASE("broken: scales and fault limits", "[config][errors][sensors]") {
  expect_refused({
      {"as: u16, unit: mm", "as: u16", 10, 5, "gauges.header-top.distance",
       "expected exactly one of unit | scale"},
      {"unit: mm }", "unit: mm, scale: [[0, 0 m], [100, 1 m]] }", 10, 62, "gauges.header-top.distance.scale",
       "'unit' is given too"},
      {"unit: mm }", "scale: [[819, 0 m], [819, 5 m]] }", 10, 73, "gauges.header-top.distance.scale[1].count",
       "both points have this count"},
      {"unit: mm }", "scale: [[819, 1 m], [900, 1 m]] }", 10, 78, "gauges.header-top.distance.scale[1].value",
       "both points stand for the same"},
      {"unit: mm }", "scale: [[819, 0 m]] }", 10, 59, "gauges.header-top.distance.scale", "a list of 2"},
      {"unit: mm }", "scale: [[819, 0 m], [4095, 5 m], [5000, 6 m]] }", 10, 59,
       "gauges.header-top.distance.scale", "a list of 2"},
      {"unit: mm }", "scale: [[819, 0 m], [4095]] }", 10, 72, "gauges.header-top.distance.scale[1]",
       "expected a list [count, value]"},
      {"unit: mm }", "scale: [[819, 0 m], [4095, 5]] }", 10, 79, "gauges.header-top.distance.scale[1].value",
       "has no unit; expected mm, cm, m"},
      {"unit: mm }", "scale: [[819, 0 m], [4095, 5 kPa]] }", 10, 79,
       "gauges.header-top.distance.scale[1].value", "'kPa' is not a unit for this"},
      {"unit: mm }", "unit: mm, fault_below: 100, fault_above: 100 }", 10, 93,
       "gauges.header-top.distance.fault_above", "expected more than fault_below (100)"},
      {"unit: mm }", "scale: [[819, 0 m], [4095, 5 m]], fault_below: 820 }", 10, 99,
       "gauges.header-top.distance.fault_below", "a point at 819, which would be a fault"},
      {"unit: mm }", "scale: [[819, 0 m], [4095, 5 m]], fault_above: 4094 }", 10, 99,
       "gauges.header-top.distance.fault_above", "a point at 4095, which would be a fault"},
      {"unit: mm }", "unit: mm, fault_below: 74 mm }", 10, 75, "gauges.header-top.distance.fault_below",
       "is not a number"},
      {"unit: mm }", "unit: mm, offset: 3 }", 10, 70, "gauges.header-top.distance.offset", "has no unit"},
  });
}

TEST_CASE("broken: pressures, companions and status words", "[config][errors][sensors]") {
  expect_refused({
      {"depth: { table: holding, address: 2, as: f32be, unit: m }",
       "pressure: { table: holding, address: 2, as: f32be, unit: m }", 18, 62,
       "gauges.sump-depth.pressure.unit", "expected kPa, mbar"},
      {"depth: { table: holding, address: 2, as: f32be, unit: m }",
       "pressure: { table: holding, address: 2, as: f32be, unit: kPa }\n    blanking: 5 cm", 19, 5,
       "gauges.sump-depth.blanking", "has no meaning together with pressure"},
      {"    every: 1 s\n", "    water: { table: input, address: 1, as: i16, unit: degC }\n", 11, 5,
       "gauges.header-top.water", "has no meaning together with distance"},
      {"    station: 4\n", "    station: 4\n    humidity: { table: input, address: 1, as: i16, unit: '%' }\n",
       18, 5, "gauges.sump-depth.humidity", "has no meaning together with depth"},
      {"    line: mast\n", "    line: mast\n    status: { table: input, address: 1, good: [0] }\n", 14, 5,
       "gauges.cistern-top.status", "has no meaning together with frame"},
      {"    every: 1 s\n", "    status: { table: input, address: 1 }\n", 11, 5, "gauges.header-top.status",
       "missing key 'good'"},
      {"    every: 1 s\n", "    status: { table: input, address: 1, good: [] }\n", 11, 47,
       "gauges.header-top.status.good", "a list of one or more"},
      {"    every: 1 s\n", "    status: { table: input, address: 1, good: [0x10000] }\n", 11, 47,
       "gauges.header-top.status.good", "65536 has bits that are not looked at"},
      {"    every: 1 s\n", "    status: { table: input, address: 1, mask: 0x3, good: [4] }\n", 11, 58,
       "gauges.header-top.status.good", "4 has bits that are not looked at"},
      {"    every: 1 s\n", "    status: { table: input, address: 1, as: f32be, good: [0] }\n", 11, 45,
       "gauges.header-top.status.as", "did you mean 'u32be'?"},
      {"    every: 1 s\n", "    status: { table: input, address: 0, good: [0] }\n", 11, 38,
       "gauges.header-top.status.address", "is taken by gauges.header-top.distance.address"},
      {"    every: 1 s\n", "    status: { table: input, address: 65535, as: u32be, good: [0] }\n", 11, 38,
       "gauges.header-top.status.address", "would not end before the last register"},
      {"    every: 1 s\n", "    humidity: { table: input, address: 0, as: u16, unit: '%' }\n", 11, 40,
       "gauges.header-top.humidity.address", "is taken by gauges.header-top.distance.address"},
  });
}

TEST_CASE("broken: frames", "[config][errors][sensors]") {
  expect_refused({
      {"value: u16be", "value: i16be", 14, 48, "gauges.cistern-top.frame.value", "did you mean 'u16be'?"},
      {"sum: low-byte", "sum: crc", 14, 60, "gauges.cistern-top.frame.sum", "expected one of: low-byte, xor"},
      {"value: u16be", "lead: 29, value: u16be", 14, 47, "gauges.cistern-top.frame.lead",
       "would have 33 bytes; expected at most 32"},
      {"sum: low-byte", "lead: 20, trail: 20, sum: low-byte", 14, 72, "gauges.cistern-top.frame.trail",
       "would have 44 bytes"},
      {"value: u16be", "lead: -1, value: u16be", 14, 47, "gauges.cistern-top.frame.lead", "expected 0 to 30"},
      {"kind: binary, start: 0xFF, value: u16be, sum: low-byte", "kind: text, pattern: 'R(\\d+)', trail: 1",
       14, 45, "gauges.cistern-top.frame.trail", "has no meaning together with kind: text"},
  });
}

TEST_CASE("broken: gateways", "[config][errors][sensors]") {
  expect_refused({
      {"port: /dev/ttyUSB0, speed: 9600 8N1", "speed: 9600 8N1", 4, 3, "lines.shed",
       "expected exactly one of port | tcp"},
      {"port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: gateway, port: /dev/ttyUSB0, speed: 9600 8N1", 4, 11,
       "lines.shed.tcp", "'port' is given too"},
      {"port: /dev/ttyUSB0, speed: 9600 8N1", "port: /dev/ttyUSB0", 4, 3, "lines.shed",
       "missing key 'speed'; port needs it"},
      {"port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: gateway, speed: 9600 8N1", 4, 25, "lines.shed.speed",
       "has no meaning together with tcp"},
      {"port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: gateway, quiet: 5 ms", 4, 25, "lines.shed.quiet",
       "has no meaning together with tcp"},
      {"port: /dev/ttyUSB1, speed: 9600 8N1", "tcp: gateway", 5, 11, "lines.mast.tcp",
       "has no meaning together with carries: range-frames"},
      {"port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: gateway:0", 4, 16, "lines.shed.tcp",
       "is not a host or HOST:PORT"},
      {"port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: gateway:65536", 4, 16, "lines.shed.tcp",
       "no port from 1 to 65535"},
      {"port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: \"tcp://gateway\"", 4, 16, "lines.shed.tcp",
       "is not a host or HOST:PORT"},
      {"port: /dev/ttyUSB0, speed: 9600 8N1, carries: modbus }",
       "tcp: gateway, carries: modbus }\n  attic: { tcp: gateway:502, carries: modbus }", 5, 17,
       "lines.attic.tcp", "line 'shed' already has this gateway"},
  });
}
