#pragma once
// The reading of a gauge, from the registers that were read. Pure.

#include "stillwell/field/number_reading.hpp"
#include "stillwell/reading/sample.hpp"

#include <span>

namespace stillwell::field {

/// A companion that is missing costs the number nothing. A status that is not good is no_answer, as a count
/// beyond its fault limits; a number that no tank can have is bad_frame.
GaugeSample to_sample(const config::ModbusGauge& gauge, std::span<const ReadWords> reads, Instant at);

}  // namespace stillwell::field
