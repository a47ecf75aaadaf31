#include "stillwell/field/frames/layout.hpp"

#include <functional>
#include <limits>
#include <numeric>

namespace stillwell::field {
namespace {

constexpr unsigned kBitsOfByte = 8;

bool is_big_endian(FrameValue value) {
  return value == FrameValue::u16be || value == FrameValue::u24be || value == FrameValue::u32be;
}

/// How far the byte at a place of the value is shifted in the count.
unsigned shift_of(FrameValue value, std::size_t at) {
  const std::size_t from_low = is_big_endian(value) ? width_of(value) - 1 - at : at;
  return static_cast<unsigned>(from_low) * kBitsOfByte;
}

std::uint16_t crc_16(std::span<const std::uint8_t> bytes) {
  constexpr unsigned kPolynomial = 0xA001;  // 0x8005 with its bits in reverse
  unsigned crc = 0xFFFF;
  for (const std::uint8_t byte : bytes) {
    crc ^= byte;
    for (unsigned bit = 0; bit < kBitsOfByte; ++bit)
      crc = (crc & 1U) != 0 ? crc >> 1U ^ kPolynomial : crc >> 1U;
  }
  return static_cast<std::uint16_t>(crc);
}

}  // namespace

std::size_t width_of(FrameValue value) {
  switch (value) {
    case FrameValue::u8: return 1;
    case FrameValue::u16be:
    case FrameValue::u16le: return 2;
    case FrameValue::u24be:
    case FrameValue::u24le: return 3;
    case FrameValue::u32be:
    case FrameValue::u32le: return 4;
  }
  return 0;
}

std::size_t width_of(FrameSum sum) {
  switch (sum) {
    case FrameSum::none: return 0;
    case FrameSum::low_byte:
    case FrameSum::exclusive_or: return 1;
    case FrameSum::crc_16: return 2;
  }
  return 0;
}

std::uint32_t largest_of(FrameValue value) {
  const auto spare = static_cast<unsigned>(sizeof(std::uint32_t) - width_of(value)) * kBitsOfByte;
  return std::numeric_limits<std::uint32_t>::max() >> spare;
}

std::uint32_t read_value(FrameValue value, std::span<const std::uint8_t> bytes) {
  std::uint32_t count = 0;
  for (std::size_t at = 0; at < width_of(value); ++at)
    count |= std::uint32_t{bytes[at]} << shift_of(value, at);
  return count;
}

void write_value(FrameValue value, std::uint32_t count, std::span<std::uint8_t> bytes) {
  for (std::size_t at = 0; at < width_of(value); ++at)
    bytes[at] = static_cast<std::uint8_t>(count >> shift_of(value, at) & 0xFFU);
}

std::uint16_t check_over(FrameSum sum, std::span<const std::uint8_t> bytes) {
  switch (sum) {
    case FrameSum::none: return 0;
    case FrameSum::low_byte:
      return static_cast<std::uint16_t>(std::accumulate(bytes.begin(), bytes.end(), 0U) & 0xFFU);
    case FrameSum::exclusive_or:
      return static_cast<std::uint16_t>(std::accumulate(bytes.begin(), bytes.end(), 0U, std::bit_xor<>{}));
    case FrameSum::crc_16: return crc_16(bytes);
  }
  return 0;
}

}  // namespace stillwell::field
