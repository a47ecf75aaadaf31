#pragma once
// A number as the registers of an instrument.

#include "stillwell/config/wiring.hpp"

#include <cstdint>
#include <vector>

namespace stillwell::orchard {

/// A count in registers, rounded for the whole-number encodings. What does not fit is held at the nearest end
/// of the range, as instruments do.
std::vector<std::uint16_t> words_of(config::Encoding encoding, double count);

}  // namespace stillwell::orchard
