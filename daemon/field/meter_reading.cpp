#include "stillwell/field/meter_reading.hpp"

namespace stillwell::field {
namespace {

/// In watts and amperes alike: ten megawatts are a power station's pump.
constexpr double kMostOfAnyMotor = 1e7;

}  // namespace

MeterSample to_sample(const config::MeterWiring& meter, std::span<const ReadWords> reads, Instant at) {
  const Number number = number_in(reads, meter.number, kMostOfAnyMotor);
  if (number.fault != Reason::none) return {.at = at, .value = {}, .fault = number.fault};
  return {.at = at, .value = number.value, .fault = Reason::none};
}

}  // namespace stillwell::field
