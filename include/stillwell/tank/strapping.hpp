#pragma once
// A tank measured instead of described: pairs of depth and contents, and a smooth monotone curve through
// them.

#include "stillwell/quantity/result.hpp"
#include "stillwell/tank/shape.hpp"

#include <cstddef>
#include <vector>

namespace stillwell {

struct StrapPoint {
  Metres depth;
  Litres volume;
};

inline constexpr std::size_t kMostStrapPoints = 10'000;

/// A shape through 2 to kMostStrapPoints points, depths strictly rising, contents never falling. A table says
/// nothing beyond its ends, and nothing is made up there: below its first point the contents stay at the
/// first's (a heel below the datum, or zero), above its last they grow no more. Where the contents do not
/// change between two points, the lower depth is the answer to them.
Result<ShapePtr> strapping(const std::vector<StrapPoint>& points);

}  // namespace stillwell
