#include "stillwell/field/gauge_reading.hpp"

#include "stillwell/field/registers.hpp"

#include <cmath>

namespace stillwell::field {
namespace {

using config::RegisterNumber;
using config::Span;
using config::StatusRegister;

/// In metres, degrees and percent alike: no water is so deep, and nothing about it so hot or so moist.
constexpr double kAbsurd = 1000.0;

/// The words of a span; empty when they were not read.
std::span<const std::uint16_t> words_at(std::span<const ReadWords> reads, const Span& wanted) {
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

struct Number {
  double value = 0.0;
  Reason fault = Reason::none;
};

Number number_in(std::span<const ReadWords> reads, const RegisterNumber& number) {
  const auto count = decode(number.as, words_at(reads, span_of(number)));
  if (!count) return {.fault = Reason::bad_frame};
  const bool too_low = number.fault_below && *count < *number.fault_below;
  const bool too_high = number.fault_above && *count > *number.fault_above;
  if (too_low || too_high) return {.fault = Reason::no_answer};
  const double value = *count * number.unit + number.offset;
  if (!(std::abs(value) < kAbsurd)) return {.fault = Reason::bad_frame};
  return {.value = value};
}

template <class Unit>
std::optional<Unit> companion_in(std::span<const ReadWords> reads,
                                 const std::optional<RegisterNumber>& companion) {
  if (!companion) return std::nullopt;
  const Number number = number_in(reads, *companion);
  if (number.fault != Reason::none) return std::nullopt;
  return Unit{number.value};
}

bool is_good(std::span<const ReadWords> reads, const StatusRegister& status) {
  const auto word = decode(status.as, words_at(reads, span_of(status)));
  if (!word) return false;
  const std::uint32_t told = static_cast<std::uint32_t>(*word) & status.mask;
  for (const std::uint32_t good : status.good)
    if (told == good) return true;
  return false;
}

}  // namespace

GaugeSample to_sample(const config::ModbusGauge& gauge, std::span<const ReadWords> reads, Instant at) {
  GaugeSample sample;
  sample.at = at;
  if (gauge.status && !is_good(reads, *gauge.status)) {
    sample.fault = Reason::no_answer;
    return sample;
  }
  const Number number = number_in(reads, gauge.number);
  sample.fault = number.fault;
  if (number.fault != Reason::none) return sample;
  sample.value = Metres{number.value};
  sample.air = companion_in<Celsius>(reads, gauge.air);
  sample.humidity = companion_in<Percent>(reads, gauge.humidity);
  sample.water = companion_in<Celsius>(reads, gauge.water);
  return sample;
}

}  // namespace stillwell::field
