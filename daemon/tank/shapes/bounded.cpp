#include "stillwell/tank/shapes/bounded.hpp"

#include "stillwell/tank/shapes/inverse.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {

Litres Bounded::volume(Metres depth) const {
  if (std::isnan(depth.value())) return Litres{depth.value()};  // no number in, no number out
  return Litres{kLitresPerCubicMetre * filled(std::clamp(depth.value(), 0.0, height_))};
}

Metres Bounded::depth(Litres volume) const {
  if (std::isnan(volume.value())) return Metres{volume.value()};
  return depth_between(*this, volume, {.low = Metres{0.0}, .high = Metres{height_}});
}

SquareMetres Bounded::surface(Metres depth) const {
  if (std::isnan(depth.value())) return SquareMetres{depth.value()};
  if (depth.value() < 0.0 || depth.value() > height_) return SquareMetres{0.0};
  return SquareMetres{std::max(area(depth.value()), 0.0)};
}

}  // namespace stillwell
