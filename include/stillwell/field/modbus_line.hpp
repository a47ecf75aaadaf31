#pragma once
// One Modbus line, serial (RTU) or through a gateway (TCP): a question out, an answer in. It repeats nothing
// and decides nothing; it sees to it that what comes back can only be the answer to what was asked. Over TCP
// each answer bears the number of its question besides; the gateway's word for the station is not looked at.

#include "stillwell/config/wiring.hpp"
#include "stillwell/field/read_length.hpp"
#include "stillwell/quantity/time.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace stillwell::field {

enum class ReplyStatus : std::uint8_t {
  answered,
  silent,     ///< no complete reply within the timeout
  corrupt,    ///< wrong check sum, station, function or size
  exception,  ///< the station is well and refuses
  lost,       ///< the port or the connection is gone (it has been closed)
};

struct Reply {
  ReplyStatus status = ReplyStatus::silent;
  int exception = 0;                 ///< Modbus exception code
  std::vector<std::uint16_t> words;  ///< one per register, or per bit (0 or 1)
};

class ModbusLine {
 public:
  explicit ModbusLine(config::LineWiring wiring);
  ~ModbusLine();
  ModbusLine(const ModbusLine&) = delete;
  ModbusLine& operator=(const ModbusLine&) = delete;

  /// The failure in words; empty when the port is open and ours alone, or the gateway is connected. A
  /// connection takes at most the line's timeout.
  std::optional<std::string> open();
  void close();
  [[nodiscard]] bool is_open() const;

  /// After a reply that failed the line must keep silent for a while, so that one that is merely late cannot
  /// be taken for the next answer, nor disturb it. Reads belong after this instant; writes need not wait,
  /// since no echo is believed.
  [[nodiscard]] Instant ready_at() const;

  // Each takes at most the line's timeout and, on a serial line, the time of its bytes on the wire.
  Reply read(int station, const Span& span);
  Reply write_coil(int station, int address, bool on);
  Reply write_register(int station, int address, std::uint16_t value);

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stillwell::field
