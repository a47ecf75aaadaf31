#pragma once
// Sections one upon the other, bottom up. The contents are those of the full ones below plus those of the one
// in which the water stands.

#include "stillwell/quantity/result.hpp"
#include "stillwell/tank/shape.hpp"

#include <vector>

namespace stillwell {

struct StackSection {
  ShapePtr shape;
  Metres height;  ///< how much of the shape, from its own bottom; not more than it has
};

/// A tank of up to 32 sections, closed at the top of the last.
Result<ShapePtr> stack(const std::vector<StackSection>& sections);

namespace geometry {

/// The same without questions, for shapes that are made of sections themselves. The last may be endless
/// (height infinite): the stack then has no top of its own.
ShapePtr piled(const std::vector<StackSection>& sections);

}  // namespace geometry
}  // namespace stillwell
