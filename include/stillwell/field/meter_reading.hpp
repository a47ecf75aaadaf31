#pragma once
// The reading of a meter, from the registers that were read. Pure.

#include "stillwell/field/number_reading.hpp"
#include "stillwell/reading/sample.hpp"

#include <span>

namespace stillwell::field {

/// A number that no motor of a pump can take is bad_frame. One below nothing is told as it is: the rules know
/// what it means.
MeterSample to_sample(const config::MeterWiring& meter, std::span<const ReadWords> reads, Instant at);

}  // namespace stillwell::field
