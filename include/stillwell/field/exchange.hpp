#pragma once
// Questions and answers on a Modbus line, with the habit that makes answers trustworthy: the size of every
// read differs from the one before it. A station that is silent behind a gateway is silent here, too,
// although the gateway says so with an exception.

#include "stillwell/field/modbus_line.hpp"
#include "stillwell/field/read_length.hpp"
#include "stillwell/reading/quality.hpp"

#include <cstdint>
#include <map>
#include <utility>

namespace stillwell::field {

/// A span that is read again and again, with what was learned about the sizes its station allows.
struct VariedSpan {
  explicit VariedSpan(const Span& of) : span{of}, length{of} {}

  Span span;
  ReadLength length;
};

/// The reason for which a failed reply makes a sample bad.
Reason reason_of(ReplyStatus status);

/// Whether the station is well and says that it has no such registers, or not so many.
bool refuses_the_span(const Reply& reply);

class Exchange {
 public:
  explicit Exchange(ModbusLine& line) : line_{line} {}

  /// At least span.count words when answered. A station that refuses the longer size is asked for less at
  /// once.
  Reply read(int station, VariedSpan& varied);
  Reply write_coil(int station, int address, bool on);
  Reply write_register(int station, int address, std::uint16_t value);

  [[nodiscard]] Instant ready_at() const { return line_.ready_at(); }
  [[nodiscard]] std::uint64_t answered() const { return answered_; }  ///< an exception is an answer, too
  [[nodiscard]] std::uint64_t failed() const { return failed_; }

 private:
  Reply count(Reply reply);

  ModbusLine& line_;
  std::map<std::pair<int, config::Table>, int> last_bytes_;  ///< of each station's table
  std::uint64_t answered_ = 0;
  std::uint64_t failed_ = 0;
};

}  // namespace stillwell::field
