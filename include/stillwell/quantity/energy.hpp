#pragma once
// Energy, and how people count it.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

#include <string>

namespace stillwell {

using Joules = Quantity<struct JouleTag>;

inline constexpr Joules kKilowattHour{3.6e6};

constexpr Joules operator*(Watts power, Duration time) {
  return Joules{power.value() * seconds_of(time)};
}

std::string to_text(Joules energy);  ///< "41.32 kWh"

}  // namespace stillwell
