#pragma once
// What a Modbus transaction takes on a serial line: bytes at 11 bits a character and the pauses between
// messages (Modbus over Serial Line V1.02, 2.5.1; lengths from Modbus Application Protocol V1.1b3, 6.1
// to 6.6), before the station takes time to think.

#include "stillwell/config/wiring.hpp"

#include <vector>

namespace stillwell::config {

/// What is asked for again and again on a line: how long each takes, and how often.
struct Traffic {
  Duration takes{};
  Duration every{};
};
std::vector<Traffic> traffic_of(const Wiring& wiring, LineIndex line);

/// One register or coil, or its drop-out timer, written and answered.
Duration write_time(const LineWiring& line);
/// A request that nobody answers.
Duration unanswered_time(const LineWiring& line);

}  // namespace stillwell::config
