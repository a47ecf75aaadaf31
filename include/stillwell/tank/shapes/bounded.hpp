#pragma once
// What every shape with a top of its own has in common: limits at both ends, and the way back from contents
// to depth.

#include "stillwell/tank/shape.hpp"

namespace stillwell {

class Bounded : public Shape {
 public:
  [[nodiscard]] Litres volume(Metres depth) const final;
  [[nodiscard]] Metres depth(Litres volume) const final;
  [[nodiscard]] SquareMetres surface(Metres depth) const final;
  [[nodiscard]] std::optional<Metres> height() const final { return Metres{height_}; }

 protected:
  explicit Bounded(double height) : height_{height} {}
  [[nodiscard]] double top() const { return height_; }

 private:
  // Cubic metres and square metres at a depth in metres between 0 and the height, both included.
  [[nodiscard]] virtual double filled(double depth) const = 0;
  [[nodiscard]] virtual double area(double depth) const = 0;

  double height_;
};

}  // namespace stillwell
