#pragma once
// A reading as the bytes that a range sensor would send: for the simulated orchard and the tests.

#include "stillwell/field/frames/format.hpp"
#include "stillwell/quantity/result.hpp"

#include <cstdint>
#include <vector>

namespace stillwell::field {

/// The frame of a reading, rounded to whole units; a text line ends with CR LF. Fails for a reading that the
/// format cannot carry (negative, not a number, too many counts) and for a format that the decoder refuses.
Result<std::vector<std::uint8_t>> encode(const FrameFormat& format, Metres reading);

}  // namespace stillwell::field
