#include "stillwell/field/registers.hpp"

#include "stillwell/config/registers.hpp"

#include <bit>
#include <cmath>
#include <limits>

namespace stillwell::field {
namespace {

using config::Encoding;

std::uint32_t join(std::uint16_t high, std::uint16_t low) {
  return std::uint32_t{high} << 16U | low;
}

std::uint16_t swapped(std::uint16_t word) {
  return static_cast<std::uint16_t>(word << 8U | word >> 8U);
}

std::optional<double> real(std::uint32_t bits) {
  static_assert(std::numeric_limits<float>::is_iec559 && sizeof(float) == sizeof(bits));
  const auto value = std::bit_cast<float>(bits);
  if (!std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace

std::optional<double> decode(Encoding encoding, std::span<const std::uint16_t> words) {
  if (words.size() < static_cast<std::size_t>(config::registers_of(encoding))) return std::nullopt;
  const std::uint16_t first = words[0];
  const std::uint16_t second = words.size() > 1 ? words[1] : std::uint16_t{0};
  switch (encoding) {
    case Encoding::u16: return first;
    case Encoding::i16: return static_cast<std::int16_t>(first);
    case Encoding::u32be: return join(first, second);
    case Encoding::u32le: return join(second, first);
    case Encoding::i32be: return static_cast<std::int32_t>(join(first, second));
    case Encoding::i32le: return static_cast<std::int32_t>(join(second, first));
    case Encoding::f32be: return real(join(first, second));
    case Encoding::f32le: return real(join(second, first));
    case Encoding::f32bs: return real(join(swapped(first), swapped(second)));
    case Encoding::f32ls: return real(join(swapped(second), swapped(first)));
  }
  return std::nullopt;
}

}  // namespace stillwell::field
