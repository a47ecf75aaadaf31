#include "stillwell/orchard/words.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace stillwell::orchard {
namespace {

using config::Encoding;

template <class Whole>
Whole held_within(double count) {
  if (std::isnan(count)) return 0;
  const double low = std::numeric_limits<Whole>::min();
  const double high = std::numeric_limits<Whole>::max();
  return static_cast<Whole>(std::clamp(std::round(count), low, high));
}

std::uint32_t bits_of_float(double count) {
  return std::bit_cast<std::uint32_t>(static_cast<float>(count));
}

std::uint16_t swapped(std::uint16_t word) {
  return static_cast<std::uint16_t>((word >> 8U) | (word << 8U));
}

struct Pair {
  std::uint16_t high;
  std::uint16_t low;
};
Pair halves(std::uint32_t bits) {
  return {static_cast<std::uint16_t>(bits >> 16U), static_cast<std::uint16_t>(bits & 0xFFFFU)};
}

std::uint32_t bits_of(Encoding encoding, double count) {
  switch (encoding) {
    case Encoding::u16: return held_within<std::uint16_t>(count);
    case Encoding::i16: return static_cast<std::uint16_t>(held_within<std::int16_t>(count));
    case Encoding::u32be:
    case Encoding::u32le: return held_within<std::uint32_t>(count);
    case Encoding::i32be:
    case Encoding::i32le: return static_cast<std::uint32_t>(held_within<std::int32_t>(count));
    case Encoding::f32be:
    case Encoding::f32le:
    case Encoding::f32bs:
    case Encoding::f32ls: return bits_of_float(count);
  }
  return 0;
}

}  // namespace

std::vector<std::uint16_t> words_of(Encoding encoding, double count) {
  const auto [high, low] = halves(bits_of(encoding, count));
  switch (encoding) {
    case Encoding::u16:
    case Encoding::i16: return {low};
    case Encoding::u32be:
    case Encoding::i32be:
    case Encoding::f32be: return {high, low};
    case Encoding::u32le:
    case Encoding::i32le:
    case Encoding::f32le: return {low, high};
    case Encoding::f32bs: return {swapped(high), swapped(low)};
    case Encoding::f32ls: return {swapped(low), swapped(high)};
  }
  return {};
}

}  // namespace stillwell::orchard
