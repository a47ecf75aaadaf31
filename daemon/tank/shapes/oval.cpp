#include "stillwell/tank/shapes/oval.hpp"

#include "stillwell/tank/shapes/bounded.hpp"
#include "stillwell/tank/shapes/dimension.hpp"
#include "stillwell/tank/shapes/segment.hpp"

#include <algorithm>

namespace stillwell {
namespace {

std::optional<Failure> wrong_with(const LyingVessel& dimensions) {
  return not_positive(
      {{"width", dimensions.width}, {"height", dimensions.height}, {"length", dimensions.length}});
}

/// A circle of the oval's height, stretched sideways.
class Oval final : public Bounded {
 public:
  explicit Oval(const LyingVessel& of)
      : Bounded{of.height.value()},
        radius_{of.height.value() / 2.0},
        length_{of.length.value() * (of.width / of.height)} {}

 private:
  [[nodiscard]] double filled(double h) const override {
    return length_ * geometry::segment_area(radius_, h);
  }
  [[nodiscard]] double area(double h) const override { return length_ * geometry::chord(radius_, h); }

  double radius_;
  double length_;  ///< as if the stretch were along the axis: the contents are the same
};

/// A circle cut along its middle and drawn apart, upward or sideways, with a rectangle between the halves.
class Obround final : public Bounded {
 public:
  explicit Obround(const LyingVessel& of)
      : Bounded{of.height.value()},
        radius_{std::min(of.width, of.height).value() / 2.0},
        upward_{std::max((of.height - of.width).value(), 0.0)},
        sideways_{std::max((of.width - of.height).value(), 0.0)},
        length_{of.length.value()} {}

 private:
  [[nodiscard]] double filled(double h) const override {
    const double straight = straight_below(h);
    return length_ *
           (geometry::segment_area(radius_, h - straight) + 2.0 * radius_ * straight + sideways_ * h);
  }
  [[nodiscard]] double area(double h) const override {
    return length_ * (geometry::chord(radius_, h - straight_below(h)) + sideways_);
  }
  /// How much of the straight wall between the halves is wetted.
  [[nodiscard]] double straight_below(double h) const { return std::clamp(h - radius_, 0.0, upward_); }

  double radius_;
  double upward_;
  double sideways_;
  double length_;
};

}  // namespace

Result<ShapePtr> horizontal_oval(const LyingVessel& dimensions) {
  if (auto wrong = wrong_with(dimensions)) return *std::move(wrong);
  return ShapePtr{std::make_shared<Oval>(dimensions)};
}

Result<ShapePtr> horizontal_obround(const LyingVessel& dimensions) {
  if (auto wrong = wrong_with(dimensions)) return *std::move(wrong);
  return ShapePtr{std::make_shared<Obround>(dimensions)};
}

}  // namespace stillwell
