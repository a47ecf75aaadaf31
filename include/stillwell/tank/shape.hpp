#pragma once
// A vessel's inside: how much water stands at which depth. Depth is from the lowest point inside.

#include "stillwell/quantity/quantity.hpp"

#include <memory>
#include <optional>

namespace stillwell {

class Shape {
 public:
  Shape() = default;
  Shape(const Shape&) = delete;
  Shape& operator=(const Shape&) = delete;
  virtual ~Shape() = default;

  /// Contents at a depth. Zero at or below zero; above a shape's own top it grows no more.
  [[nodiscard]] virtual Litres volume(Metres depth) const = 0;
  /// The inverse: the depth at which the contents are reached.
  [[nodiscard]] virtual Metres depth(Litres volume) const = 0;
  /// Area of the water's surface, dV/dh. Where it jumps (a step in the wall), the side from below; at depth
  /// zero the floor; above a shape's own top none.
  [[nodiscard]] virtual SquareMetres surface(Metres depth) const = 0;
  /// The depth at which it is full, for a shape that has a top of its own.
  [[nodiscard]] virtual std::optional<Metres> height() const { return std::nullopt; }
};

using ShapePtr =
    std::shared_ptr<const Shape>;  ///< shared because the model is copied on reload; never changed

}  // namespace stillwell
