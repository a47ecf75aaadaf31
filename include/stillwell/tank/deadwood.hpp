#pragma once
// Fittings inside a tank (ladders, pipes, a lining) take the place of water. Each is spread evenly between
// two depths and subtracted.

#include "stillwell/quantity/result.hpp"
#include "stillwell/tank/shape.hpp"

#include <vector>

namespace stillwell {

struct Deadwood {
  Metres from;
  Metres to;
  Litres volume;
};

/// `shape` without its fittings, at most 64. Refused where they would take more than stands there: the
/// contents must not fall as the depth rises.
Result<ShapePtr> without_deadwood(ShapePtr shape, const std::vector<Deadwood>& fittings);

}  // namespace stillwell
