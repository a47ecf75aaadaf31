#pragma once
// What talks on a line, from the bytes that were heard while nobody asked anything. Pure. What it proposes is
// a guess to be checked: bytes do not say what they mean.

#include "stillwell/field/frames/format.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace stillwell::field {

enum class HeardKind : std::uint8_t {
  nothing,
  binary,   ///< frames with a sum that fits
  text,     ///< lines with a number that a pattern reads
  prose,    ///< lines of text that no pattern of one whole number reads
  traffic,  ///< Modbus requests: another client asks on this line
  noise,    ///< bytes of which nothing can be made
};

struct Heard {
  HeardKind kind = HeardKind::nothing;
  std::optional<FrameFormat> format{};  ///< of binary and text; its unit is taken to be a millimetre
  std::vector<std::uint32_t> counts{};  ///< the numbers in them
  std::string sample{};                 ///< of text and prose: a line; otherwise the first bytes in hex
  std::size_t bytes = 0;
};

/// Fewer frames that fit may do so by chance.
inline constexpr std::size_t kFewestFrames = 3;

Heard recognize(std::span<const std::uint8_t> bytes);

}  // namespace stillwell::field
