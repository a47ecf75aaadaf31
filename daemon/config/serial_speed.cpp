#include "stillwell/config/serial_speed.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <string>

namespace stillwell::config {
namespace {

// What libmodbus 3.1.6 sets on a port; it takes any other number for 9600 without a word (measured by reading
// the speed back from a pseudo-terminal).
constexpr std::array kSpeeds{110,     300,     600,     1200,    2400,    4800,    9600,   19200,
                             38400,   57600,   115200,  230400,  460800,  500000,  576000, 921600,
                             1000000, 1152000, 1500000, 2500000, 3000000, 3500000, 4000000};

Parity parity_of(char letter) {
  if (letter == 'E') return Parity::even;
  if (letter == 'O') return Parity::odd;
  return Parity::none;
}

}  // namespace

Result<SerialSpeed> parse_serial_speed(std::string_view text) {
  SerialSpeed speed;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), speed.baud);
  const std::string_view frame = text.substr(static_cast<std::size_t>(end - text.data()));
  if (error != std::errc{} || frame.size() != 4) {
    return Failure{"'" + std::string(text) + "' is not a speed and a character such as 9600 8N1"};
  }
  if (std::find(kSpeeds.begin(), kSpeeds.end(), speed.baud) == kSpeeds.end()) {
    return Failure{std::to_string(speed.baud) +
                   " is not a usual serial speed; usual are 1200, 2400, 4800, 9600, "
                   "19200, 38400, 57600 and 115200"};
  }
  speed.data_bits = frame[1] - '0';
  speed.parity = parity_of(frame[2]);
  speed.stop_bits = frame[3] - '0';
  return speed;
}

Duration time_of(int characters, int baud) {
  return std::chrono::nanoseconds{std::chrono::seconds{1}} * characters * kBitsPerCharacter / baud;
}

Duration least_quiet(int baud) {
  constexpr Duration kFastLines = std::chrono::microseconds{1750};
  return baud > 19200 ? kFastLines : time_of(7, baud) / 2;
}

}  // namespace stillwell::config
