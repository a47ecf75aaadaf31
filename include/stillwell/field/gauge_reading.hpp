#pragma once
// The reading of a gauge, from the registers that were read. Pure.

#include "stillwell/config/registers.hpp"
#include "stillwell/reading/sample.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace stillwell::field {

/// What was read of a station; a read that failed is simply not there.
struct ReadWords {
  config::Span span;
  std::vector<std::uint16_t> words;  ///< at least span.count
};

/// A companion that is missing costs the number nothing. A status that is not good, or a count beyond its
/// fault limits, is no_answer: there is an answer, but the sensor says that it has no reading. What is no
/// number, or one that no tank can have, is bad_frame.
GaugeSample to_sample(const config::ModbusGauge& gauge, std::span<const ReadWords> reads, Instant at);

}  // namespace stillwell::field
