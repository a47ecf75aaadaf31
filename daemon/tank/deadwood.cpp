#include "stillwell/tank/deadwood.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/tank/shapes/dimension.hpp"
#include "stillwell/tank/shapes/inverse.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

constexpr std::size_t kMost = 64;

SquareMetres section_of(const Deadwood& fitting) {
  return SquareMetres{fitting.volume.value() / kLitresPerCubicMetre / (fitting.to - fitting.from).value()};
}

class WithoutDeadwood final : public Shape {
 public:
  WithoutDeadwood(ShapePtr shape, std::vector<Deadwood> fittings)
      : shape_{std::move(shape)}, fittings_{std::move(fittings)} {}

  [[nodiscard]] Litres volume(Metres depth) const override {
    return std::max(shape_->volume(depth) - taken(depth), Litres{0.0});
  }

  [[nodiscard]] Metres depth(Litres volume) const override {
    if (std::isnan(volume.value())) return Metres{volume.value()};
    Litres all{0.0};
    for (const Deadwood& fitting : fittings_)
      all += fitting.volume;
    return depth_between(*this, volume, {.low = shape_->depth(volume), .high = shape_->depth(volume + all)});
  }

  [[nodiscard]] SquareMetres surface(Metres depth) const override {
    SquareMetres free = shape_->surface(depth);
    for (const Deadwood& fitting : fittings_) {
      const bool on_floor = depth == Metres{0.0} && fitting.from == depth;
      if (on_floor || (depth > fitting.from && depth <= fitting.to)) free -= section_of(fitting);
    }
    return std::max(free, SquareMetres{0.0});
  }

  [[nodiscard]] std::optional<Metres> height() const override { return shape_->height(); }

 private:
  [[nodiscard]] Litres taken(Metres depth) const {
    Litres sum{0.0};
    for (const auto& [from, to, volume] : fittings_)
      sum += volume * std::clamp((depth - from) / (to - from), 0.0, 1.0);
    return sum;
  }

  ShapePtr shape_;
  std::vector<Deadwood> fittings_;
};

std::string in_words(const Deadwood& fitting) {
  return "deadwood of " + shortest(fitting.volume.value()) + " L from " + in_words(fitting.from) + " to " +
         in_words(fitting.to);
}

std::optional<Failure> wrong_with(const Deadwood& fitting, const Shape& shape) {
  if (!(fitting.volume > Litres{0.0}) || !std::isfinite(fitting.volume.value()))
    return Failure{in_words(fitting) + ": give how much water it displaces, more than 0 L"};
  if (!(fitting.from >= Metres{0.0}) || !(fitting.to > fitting.from) || !std::isfinite(fitting.to.value()))
    return Failure{in_words(fitting) + ": give its lower end first, 0 m or more, then its upper end"};
  const auto top = shape.height();
  if (top && fitting.to > *top)
    return Failure{in_words(fitting) + " ends above the shape's own top at " + in_words(*top)};
  return std::nullopt;
}

/// The first of many depths along a fitting at which no more is left than a step lower. A pinch thinner than
/// a step may pass: it costs less than a thousandth of the fitting.
std::optional<Metres> crowded_at(const Shape& left, const Deadwood& fitting) {
  constexpr int kSamples = 1000;
  Litres below = left.volume(fitting.from);
  for (int i = 1; i <= kSamples; ++i) {
    const Metres depth = fitting.from + (fitting.to - fitting.from) * (static_cast<double>(i) / kSamples);
    const Litres here = left.volume(depth);
    if (!(here > below)) return depth;
    below = here;
  }
  return std::nullopt;
}

}  // namespace

Result<ShapePtr> without_deadwood(ShapePtr shape, const std::vector<Deadwood>& fittings) {
  if (fittings.size() > kMost) return Failure{"more than 64 pieces of deadwood; add the small ones up"};
  for (const Deadwood& fitting : fittings) {
    if (auto wrong = wrong_with(fitting, *shape)) return *std::move(wrong);
  }
  auto left = std::make_shared<WithoutDeadwood>(std::move(shape), fittings);
  for (const Deadwood& fitting : fittings) {
    if (const auto depth = crowded_at(*left, fitting))
      return Failure{in_words(fitting) + ": at " + in_words(*depth) +
                     " all deadwood together is wider than the tank; make it smaller or begin it higher"};
  }
  return ShapePtr{std::move(left)};
}

}  // namespace stillwell
