#include "stillwell/reading/beam.hpp"

#include <cmath>
#include <numbers>

namespace stillwell {

Metres footprint(Metres distance, Degrees beam) {
  if (!(beam > Degrees{0.0} && beam < Degrees{180.0})) return Metres{std::nan("")};
  return distance * (2.0 * std::tan(beam.value() * std::numbers::pi / 360.0));
}

}  // namespace stillwell
