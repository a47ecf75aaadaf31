#pragma once
// Numbers as they lie in 16-bit registers. Pure.

#include "stillwell/config/wiring.hpp"

#include <cstdint>
#include <optional>
#include <span>

namespace stillwell::field {

/// The number at the front of `words`. Empty when there are too few words, and for a floating-point value
/// that is not finite: that is how a device says that it has none.
std::optional<double> decode(config::Encoding encoding, std::span<const std::uint16_t> words);

}  // namespace stillwell::field
