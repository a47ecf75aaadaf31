#pragma once
// How the parts of a binary frame are written: its value and its sum. Pure.

#include "stillwell/field/frames/format.hpp"

#include <cstddef>
#include <cstdint>
#include <span>

namespace stillwell::field {

/// Bytes of a value, 1 to 4, and of a sum, 0 to 2.
std::size_t width_of(FrameValue value);
std::size_t width_of(FrameSum sum);

/// The largest count that a value holds.
std::uint32_t largest_of(FrameValue value);

/// The number in the first bytes; there must be as many as it is wide.
std::uint32_t read_value(FrameValue value, std::span<const std::uint8_t> bytes);
void write_value(FrameValue value, std::uint32_t count, std::span<std::uint8_t> bytes);

/// The check over these bytes, written low byte first; 0 for none.
std::uint16_t check_over(FrameSum sum, std::span<const std::uint8_t> bytes);

}  // namespace stillwell::field
