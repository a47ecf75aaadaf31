#include "stillwell/tank/shapes/prism.hpp"

#include <algorithm>
#include <numbers>

namespace stillwell {
namespace {

class Prism final : public Shape {
 public:
  explicit Prism(SquareMetres section) : section_{section} {}
  [[nodiscard]] Litres volume(Metres depth) const override { return section_ * std::max(depth, Metres{0.0}); }
  [[nodiscard]] Metres depth(Litres volume) const override {
    return std::max(volume, Litres{0.0}) / section_;
  }
  [[nodiscard]] SquareMetres surface(Metres /*depth*/) const override { return section_; }

 private:
  SquareMetres section_;
};

}  // namespace

ShapePtr vertical_cylinder(Metres diameter) {
  return std::make_shared<Prism>(diameter * diameter * (std::numbers::pi / 4.0));
}

ShapePtr rectangular(Metres length, Metres width) {
  return std::make_shared<Prism>(length * width);
}

ShapePtr even_section(Litres capacity, Metres full) {
  return std::make_shared<Prism>(SquareMetres{capacity.value() / kLitresPerCubicMetre / full.value()});
}

}  // namespace stillwell
