#include "stillwell/field/gauge_reading.hpp"

#include "stillwell/field/registers.hpp"

namespace stillwell::field {
namespace {

using config::RegisterNumber;
using config::StatusRegister;

/// In metres, degrees and percent alike: no water is so deep, and nothing about it so hot or so moist.
constexpr double kAbsurd = 1000.0;

template <class Unit>
std::optional<Unit> companion_in(std::span<const ReadWords> reads,
                                 const std::optional<RegisterNumber>& companion) {
  if (!companion) return std::nullopt;
  const Number number = number_in(reads, *companion, kAbsurd);
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
  const Number number = number_in(reads, gauge.number, kAbsurd);
  sample.fault = number.fault;
  if (number.fault != Reason::none) return sample;
  sample.value = Metres{number.value};
  sample.air = companion_in<Celsius>(reads, gauge.air);
  sample.humidity = companion_in<Percent>(reads, gauge.humidity);
  sample.water = companion_in<Celsius>(reads, gauge.water);
  return sample;
}

}  // namespace stillwell::field
