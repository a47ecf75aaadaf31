#include "stillwell/quantity/energy.hpp"

#include "stillwell/quantity/units.hpp"

namespace stillwell {

std::string to_text(Joules energy) {
  return fixed(energy / kKilowattHour, 2) + " kWh";
}

}  // namespace stillwell
