#pragma once
// A vessel's inside: how much water stands at which depth. Depth is from the lowest point inside.

#include "stillwell/quantity/quantity.hpp"

#include <memory>

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
  /// Area of the water's surface, dV/dh.
  [[nodiscard]] virtual SquareMetres surface(Metres depth) const = 0;
};

using ShapePtr =
    std::shared_ptr<const Shape>;  ///< shared because the model is copied on reload; never changed

}  // namespace stillwell
