#pragma once
// The serving side of Modbus RTU, bytes to bytes, written from the specification alone so that it and the
// daemon's client check each other. Source: MODBUS Application Protocol Specification V1.1b3 (2012), section
// 6, and MODBUS over Serial Line V1.02 (2006), section 2.5.1. Function codes 01 to 06.

#include "stillwell/config/wiring.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace stillwell::orchard {

using Bytes = std::vector<std::uint8_t>;
using ByteView = std::span<const std::uint8_t>;

/// CRC-16/MODBUS.
std::uint16_t crc_of(ByteView bytes);
/// The frame of a station's PDU: address, PDU, check sum low byte first.
Bytes frame_of(std::uint8_t station, ByteView pdu);
/// Whether the last two bytes are the check sum of those before.
bool is_intact(ByteView frame);

/// How many bytes a request has in all, as far as its beginning tells: empty when more bytes must come
/// first, or when only silence ends it (a function code that is unknown here).
std::optional<std::size_t> request_length(ByteView begun);

enum class Written : std::uint8_t {
  done,     ///< answered with an echo
  absent,   ///< there is no such coil or register
  unheard,  ///< the module says nothing at all
};

/// What lies behind a station's address.
class Registers {
 public:
  Registers() = default;
  Registers(const Registers&) = delete;
  Registers& operator=(const Registers&) = delete;
  virtual ~Registers() = default;

  /// The words of a range; bits are 0 or 1. Empty when the range is not wholly there.
  virtual std::optional<std::vector<std::uint16_t>> read(config::Table table, int first, int count) = 0;
  virtual Written write(config::Table table, int address, std::uint16_t value) = 0;
};

/// The reply PDU to a request PDU, or empty when the module says nothing. Checks in the order of the
/// specification's state diagrams: function (exception 1), quantity or value (3), address (2).
std::optional<Bytes> answer(ByteView pdu, Registers& registers);

Bytes exception_to(std::uint8_t function, std::uint8_t code);

}  // namespace stillwell::orchard
