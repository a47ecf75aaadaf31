#pragma once
// The base configuration with its sump kept by floats alone.

#include <string>

#include "support/config_base.hpp"

namespace support {

inline const std::string kFloats = "floats: { start: sump-start, stop: sump-stop, high: sump-high }";

/// The base, its sump kept by floats.
inline std::string base_by_floats() {
  std::string text = replaced(
      kConfigBase, "switches:\n",
      "switches:\n"
      "  sump-stop: { line: shed, station: 10, table: discrete, address: 2, broken: off }\n"
      "  sump-start: { line: shed, station: 10, table: discrete, address: 3, broken: off }\n"
      "  sump-high: { line: shed, station: 10, table: discrete, address: 4, active: low, broken: on }\n");
  text = replaced(text,
                  "gauge: sump-depth\n    full: 1.2 m\n"
                  "    holds: { shape: rectangular, length: 1 m, width: 0.5 m }",
                  kFloats);
  return replaced(text, "    to: cistern\n    start_at: 60 %\n    stop_at: 15 %\n", "");
}
/// And the drain pump without the trip that belonged to its receiver.
inline std::string sound_by_floats() {
  return replaced(base_by_floats(), "    contact: drain-contact\n    trips: { high: 90 % }\n",
                  "    contact: drain-contact\n");
}

}  // namespace support
