#pragma once
// Range frames: how a free-running or asked distance sensor writes a reading on a serial line. Described by
// what the bytes are, never by who made the sensor.

#include "stillwell/quantity/quantity.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace stillwell::field {

enum class FrameKind : std::uint8_t { binary, text };
enum class FrameValue : std::uint8_t { u16be, u16le };
enum class FrameSum : std::uint8_t { none, low_byte };

struct FrameFormat {
  FrameKind kind = FrameKind::binary;
  std::uint8_t start = 0xFF;  ///< binary: first byte
  FrameValue value = FrameValue::u16be;
  FrameSum sum = FrameSum::low_byte;  ///< binary: low byte of the sum of all bytes before it
  std::string pattern;                ///< text: a line, with one group of digits in it: "R(\\d{4})"
  Metres unit{};                      ///< one count
  std::optional<std::uint8_t> ask;    ///< sent to request a reading; a free-running sensor has none
};

/// What is wrong with the pattern of a text frame; empty when lines can be read by it.
std::optional<std::string> fault_of_pattern(std::string_view pattern);

}  // namespace stillwell::field
