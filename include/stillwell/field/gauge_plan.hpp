#pragma once
// Which registers a gauge's reading is made of, and the reading that they make. Pure.

#include "stillwell/config/wiring.hpp"
#include "stillwell/field/read_length.hpp"
#include "stillwell/reading/sample.hpp"

#include <cstdint>
#include <optional>
#include <span>

namespace stillwell::field {

struct GaugePlan {
  Span first;  ///< with the number itself
  int value_at = 0;
  std::optional<int> air_at;   ///< the companion lies in the first span
  std::optional<Span> second;  ///< or has one of its own
};

/// A companion that is near enough is read with the number, in one transaction.
GaugePlan plan(const config::ModbusGauge& gauge);

/// The reading in what was read; `second` is empty when there is no second span or it was not answered. A
/// companion that cannot be read costs the number nothing.
GaugeSample to_sample(const config::ModbusGauge& gauge, std::span<const std::uint16_t> first,
                      std::span<const std::uint16_t> second, Instant at);

}  // namespace stillwell::field
