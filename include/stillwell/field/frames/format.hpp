#pragma once
// Range frames: how a free-running or asked distance sensor writes a reading on a serial line. Described by
// what the bytes are, never by who made the sensor.

#include "stillwell/quantity/quantity.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace stillwell::field {

enum class FrameKind : std::uint8_t { binary, text };
enum class FrameValue : std::uint8_t { u8, u16be, u16le, u24be, u24le, u32be, u32le };
/// Over all bytes before it, the start included.
enum class FrameSum : std::uint8_t {
  none,
  low_byte,      ///< the low byte of their sum
  exclusive_or,  ///< one byte
  crc_16,        ///< that of Modbus, low byte first (Modbus over Serial Line V1.02, 6.2.2)
};

struct FrameFormat {
  FrameKind kind = FrameKind::binary;
  std::uint8_t start = 0xFF;  ///< binary: first byte
  int lead = 0;  ///< binary: bytes between the start and the value; what they hold is not looked at
  FrameValue value = FrameValue::u16be;
  int trail = 0;                      ///< binary: bytes between the value and the sum, likewise
  FrameSum sum = FrameSum::low_byte;  ///< binary: how damage is noticed
  std::string pattern;                ///< text: a line, with one group of digits in it: "R(\\d{4})"
  Metres unit{};                      ///< one count
  std::optional<std::uint8_t> ask;    ///< sent to request a reading; a free-running sensor has none
};

inline constexpr std::size_t kLongestFrame = 32;  ///< bytes of a binary frame, all of it

/// Bytes of a binary frame of this format, from the start to the end of the sum.
std::size_t binary_frame_size(const FrameFormat& format);

/// What is wrong with the pattern of a text frame; empty when lines can be read by it.
std::optional<std::string> fault_of_pattern(std::string_view pattern);

}  // namespace stillwell::field
