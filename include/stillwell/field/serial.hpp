#pragma once
// What every serial line needs, whatever it carries: known speeds, an owner, and an end that is noticed.

#include "stillwell/config/wiring.hpp"
#include "stillwell/quantity/time.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>

namespace stillwell::field {

/// The system's code for a speed in baud; empty for one that it does not have.
std::optional<unsigned> speed_code(int baud);

// Failures are words for a person; empty when all is well.

/// Makes an open port ours alone.
std::optional<std::string> claim(int descriptor, const config::LineWiring& line);
/// Gives up what claim() took, before the port is closed.
void disclaim(int descriptor);
/// Whether another program holds the line's port just now. Settings are not touched. False for a port that
/// cannot be opened for another reason, and for a line that is no serial one.
bool is_held(const config::LineWiring& line);
/// Whether the port really took the speed.
std::optional<std::string> check_speed(int descriptor, const config::LineWiring& line);

/// "what PORT: reason", with the remedy where there is a usual one.
std::string port_failure(const config::LineWiring& line, int error);

/// How long so many bytes take on the line: 11 bits each (MODBUS over Serial Line V1.02, 2.5.1).
Duration wire_time(const config::LineWiring& line, int bytes);

enum class Silence : std::uint8_t { silent, bytes, lost };

/// Waits for bytes to read, at most `limit`.
Silence wait_for_bytes(int descriptor, Duration limit);

/// A port whose bytes are read as they come. Closed by its end, and as soon as it is lost.
class SerialPort {
 public:
  SerialPort() = default;
  ~SerialPort() { close(); }
  SerialPort(const SerialPort&) = delete;
  SerialPort& operator=(const SerialPort&) = delete;

  /// The failure in words; empty when the port is open.
  std::optional<std::string> open(const config::LineWiring& line);
  void close();
  /// Another speed or character, on the port that stays open and ours. The failure in words when the port
  /// does not take it.
  std::optional<std::string> retune(const config::LineWiring& line);
  [[nodiscard]] bool is_open() const { return descriptor_ >= 0; }

  /// Waits for bytes, at most `limit`, and takes what fits. Empty when none came or the port was lost.
  std::span<const std::uint8_t> read(std::span<std::uint8_t> room, Duration limit);
  void write(std::uint8_t byte);
  void write(std::span<const std::uint8_t> bytes);

 private:
  int descriptor_ = -1;
};

}  // namespace stillwell::field
