#pragma once
// A number of an instrument, from the registers that were read. Pure.

#include "stillwell/config/registers.hpp"
#include "stillwell/reading/quality.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace stillwell::field {

/// What was read of a station; a read that failed is simply not there.
struct ReadWords {
  config::Span span;
  std::vector<std::uint16_t> words;  ///< at least span.count
};

struct Number {
  double value = 0.0;  ///< in the unit that the wiring gives one count
  Reason fault = Reason::none;
};

/// The words of a span; empty when they were not read.
std::span<const std::uint16_t> words_at(std::span<const ReadWords> reads, const config::Span& wanted);

/// A count beyond its fault limits is no_answer: there is an answer, but the instrument or its wire says that
/// there is no reading. What is no number, or one of at least `absurd` either way, is bad_frame.
Number number_in(std::span<const ReadWords> reads, const config::RegisterNumber& number, double absurd);

}  // namespace stillwell::field
