#include "stillwell/field/number_reading.hpp"

#include "stillwell/field/registers.hpp"

#include <cmath>

namespace stillwell::field {

std::span<const std::uint16_t> words_at(std::span<const ReadWords> reads, const config::Span& wanted) {
  for (const ReadWords& read : reads) {
    const int from = wanted.address - read.span.address;
    if (read.span.table != wanted.table || from < 0 || from + wanted.count > read.span.count) continue;
    const std::span<const std::uint16_t> words{read.words};
    const auto begin = static_cast<std::size_t>(from);
    const auto count = static_cast<std::size_t>(wanted.count);
    if (begin + count <= words.size()) return words.subspan(begin, count);
  }
  return {};
}

Number number_in(std::span<const ReadWords> reads, const config::RegisterNumber& number, double absurd) {
  const auto count = decode(number.as, words_at(reads, span_of(number)));
  if (!count) return {.fault = Reason::bad_frame};
  const bool too_low = number.fault_below && *count < *number.fault_below;
  const bool too_high = number.fault_above && *count > *number.fault_above;
  if (too_low || too_high) return {.fault = Reason::no_answer};
  const double value = *count * number.unit + number.offset;
  if (!(std::abs(value) < absurd)) return {.fault = Reason::bad_frame};
  return {.value = value};
}

}  // namespace stillwell::field
