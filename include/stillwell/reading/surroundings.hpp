#pragma once
// What is known of the air and water around a gauge, as corrections need it.

#include "stillwell/quantity/quantity.hpp"

namespace stillwell {

/// One standard atmosphere.
inline constexpr Pascals kStandardPressure{101325.0};

/// Where a temperature that nobody measures is known to lie.
struct TemperatureRange {
  Celsius lowest{};
  Celsius highest{};
};

}  // namespace stillwell
