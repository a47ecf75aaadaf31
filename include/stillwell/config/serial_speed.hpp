#pragma once
// "9600 8N1": how fast a serial line talks and how its characters are framed.

#include "stillwell/config/wiring.hpp"
#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/time.hpp"

#include <string_view>

namespace stillwell::config {

struct SerialSpeed {
  int baud = 9600;
  int data_bits = 8;
  Parity parity = Parity::none;
  int stop_bits = 1;
};

Result<SerialSpeed> parse_serial_speed(std::string_view text);

/// A character on a Modbus line is 11 bits: start, 8 data, parity or a second stop, stop (Modbus over Serial
/// Line V1.02, 2.5.1).
inline constexpr int kBitsPerCharacter = 11;

/// How long so many characters take.
Duration time_of(int characters, int baud);

/// The silence that ends a message: 3.5 characters, and 1.75 ms above 19200 baud (same, 2.5.1.1).
Duration least_quiet(int baud);

}  // namespace stillwell::config
