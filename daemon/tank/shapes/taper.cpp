#include "stillwell/tank/shapes/taper.hpp"

#include "stillwell/tank/shapes/bounded.hpp"
#include "stillwell/tank/shapes/dimension.hpp"

#include <algorithm>
#include <numbers>

namespace stillwell {
namespace {

using std::numbers::pi;

class Taper final : public Bounded {
 public:
  Taper(double height, const geometry::Section& section) : Bounded{height}, section_{section} {}

 private:
  [[nodiscard]] double filled(double h) const override {
    return h * (section_.a + h * (section_.b / 2.0 + h * section_.c / 3.0));
  }
  [[nodiscard]] double area(double h) const override {
    return section_.a + h * (section_.b + h * section_.c);
  }

  geometry::Section section_;
};

/// A side that goes evenly from its length at the bottom to its length at the top: start + slope·h.
struct Flank {
  double start;
  double slope;
  Flank(Metres bottom, Metres top, Metres height) : start{bottom.value()}, slope{(top - bottom) / height} {}
};

geometry::Section product(double factor, const Flank& one, const Flank& other) {
  return {.a = factor * one.start * other.start,
          .b = factor * (one.start * other.slope + one.slope * other.start),
          .c = factor * one.slope * other.slope};
}

}  // namespace

ShapePtr geometry::taper(double height, const Section& section) {
  return std::make_shared<Taper>(height, section);
}

Result<ShapePtr> cone(Metres diameter, Metres height) {
  if (const auto wrong = not_positive({{"diameter", diameter}, {"height", height}})) return *wrong;
  return frustum({.bottom = Metres{0.0}, .top = diameter, .height = height});
}

Result<ShapePtr> frustum(const Frustum& dimensions) {
  const auto& [bottom, top, height] = dimensions;
  if (const auto wrong = negative({{"bottom", bottom}, {"top", top}})) return *wrong;
  if (const auto wrong =
          not_positive({{"height", height}, {"the wider of bottom and top", std::max(bottom, top)}}))
    return *wrong;
  const Flank diameter{bottom, top, height};
  return geometry::taper(height.value(), product(pi / 4.0, diameter, diameter));
}

Result<ShapePtr> rectangular_frustum(const RectangularFrustum& dimensions) {
  const auto& [bottom, top, height] = dimensions;
  if (const auto wrong = not_positive({{"bottom length", bottom.length},
                                       {"bottom width", bottom.width},
                                       {"top length", top.length},
                                       {"top width", top.width},
                                       {"height", height}}))
    return *wrong;
  return geometry::taper(height.value(), product(1.0, Flank{bottom.length, top.length, height},
                                                 Flank{bottom.width, top.width, height}));
}

Result<ShapePtr> sphere(Metres diameter) {
  if (const auto wrong = not_positive({{"diameter", diameter}})) return *wrong;
  return geometry::taper(diameter.value(), {.a = 0.0, .b = pi * diameter.value(), .c = -pi});
}

}  // namespace stillwell
