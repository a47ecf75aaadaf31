#include "stillwell/field/gauge_plan.hpp"

#include "stillwell/field/registers.hpp"

#include <algorithm>

namespace stillwell::field {
namespace {

using config::RegisterNumber;

/// Every register costs two characters of wire, another transaction about twenty: up to here reading the gap
/// is the cheaper way.
constexpr int kLongestSpan = 16;

int end_of(const RegisterNumber& number) {
  return number.address + registers_of(number.as);
}

std::optional<double> number_in(const RegisterNumber& number, std::span<const std::uint16_t> words, int at) {
  const auto offset = static_cast<std::size_t>(at);
  if (offset > words.size()) return std::nullopt;
  const auto raw = decode(number.as, words.subspan(offset));
  if (!raw) return std::nullopt;
  return *raw * number.unit;
}

}  // namespace

GaugePlan plan(const config::ModbusGauge& gauge) {
  const RegisterNumber& number = gauge.number;
  GaugePlan made;
  made.first = {.table = number.table, .address = number.address, .count = registers_of(number.as)};
  if (!gauge.air) return made;
  const RegisterNumber& air = *gauge.air;
  const int begin = std::min(number.address, air.address);
  const int end = std::max(end_of(number), end_of(air));
  if (air.table == number.table && end - begin <= kLongestSpan) {
    made.first = {.table = number.table, .address = begin, .count = end - begin};
    made.value_at = number.address - begin;
    made.air_at = air.address - begin;
  } else {
    made.second = {.table = air.table, .address = air.address, .count = registers_of(air.as)};
  }
  return made;
}

GaugeSample to_sample(const config::ModbusGauge& gauge, std::span<const std::uint16_t> first,
                      std::span<const std::uint16_t> second, Instant at) {
  const GaugePlan made = plan(gauge);
  GaugeSample sample;
  sample.at = at;
  const auto value = number_in(gauge.number, first, made.value_at);
  if (!value) {
    sample.fault = Reason::bad_frame;
    return sample;
  }
  sample.value = Metres{*value};
  sample.fault = Reason::none;
  if (!gauge.air) return sample;
  const auto air =
      made.air_at ? number_in(*gauge.air, first, *made.air_at) : number_in(*gauge.air, second, 0);
  if (air) sample.air = Celsius{*air};
  return sample;
}

}  // namespace stillwell::field
