#include "stillwell/tank/strapping.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/tank/pchip.hpp"
#include "stillwell/tank/shapes/inverse.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

Pchip curve_of(const std::vector<StrapPoint>& points) {
  std::vector<Pchip::Knot> knots;
  knots.reserve(points.size());
  for (const auto& [depth, volume] : points)
    knots.push_back({.x = depth.value(), .y = volume.value()});
  return Pchip{knots};
}

class Strapping final : public Shape {
 public:
  explicit Strapping(std::vector<StrapPoint> points)
      : points_{std::move(points)}, curve_{curve_of(points_)} {}

  [[nodiscard]] Litres volume(Metres depth) const override { return Litres{curve_.value(depth.value())}; }

  [[nodiscard]] Metres depth(Litres volume) const override {
    if (std::isnan(volume.value())) return Metres{volume.value()};
    const auto above = std::ranges::lower_bound(points_, volume, {}, &StrapPoint::volume);
    if (above == points_.begin()) return points_.front().depth;
    if (above == points_.end()) return lowest_full();
    return depth_between(*this, volume, {.low = std::prev(above)->depth, .high = above->depth});
  }

  [[nodiscard]] SquareMetres surface(Metres depth) const override {
    if (depth < points_.front().depth || depth > points_.back().depth) return SquareMetres{0.0};
    return SquareMetres{std::max(curve_.slope(depth.value()), 0.0) / kLitresPerCubicMetre};
  }

  [[nodiscard]] std::optional<Metres> height() const override { return points_.back().depth; }

 private:
  [[nodiscard]] Metres lowest_full() const {
    return std::ranges::lower_bound(points_, points_.back().volume, {}, &StrapPoint::volume)->depth;
  }

  std::vector<StrapPoint> points_;
  Pchip curve_;
};

std::string in_words(const StrapPoint& point) {
  return "(" + shortest(point.depth.value()) + " m, " + shortest(point.volume.value()) + " L)";
}

std::optional<Failure> wrong_with(const StrapPoint& point, const std::string& name) {
  if (!(point.depth.value() >= 0.0) || !std::isfinite(point.depth.value()) ||
      !(point.volume.value() >= 0.0) || !std::isfinite(point.volume.value()))
    return Failure{name + " " + in_words(point) +
                   " has a negative number; depths and contents start at zero"};
  return std::nullopt;
}

std::optional<Failure> wrong_after(const StrapPoint& before, const StrapPoint& point,
                                   const std::string& name) {
  if (!(point.depth > before.depth))
    return Failure{name + " " + in_words(point) + " is not deeper than the one before it " +
                   in_words(before) + "; list the points from the floor up, each depth once"};
  if (point.volume < before.volume)
    return Failure{name + " " + in_words(point) + " holds less than the one below it " + in_words(before) +
                   "; contents never fall as the depth rises"};
  return std::nullopt;
}

}  // namespace

Result<ShapePtr> strapping(const std::vector<StrapPoint>& points) {
  if (points.size() < 2)
    return Failure{"a strapping table of " + std::to_string(points.size()) + " points; give at least two"};
  if (points.size() > kMostStrapPoints)
    return Failure{"a strapping table of more than 10000 points; thin it out"};
  for (std::size_t i = 0; i < points.size(); ++i) {
    const std::string name = "point " + std::to_string(i + 1);
    if (auto wrong = wrong_with(points[i], name)) return *std::move(wrong);
    if (i == 0) continue;
    if (auto wrong = wrong_after(points[i - 1], points[i], name)) return *std::move(wrong);
  }
  if (!(points.back().volume > points.front().volume))
    return Failure{"a strapping table whose contents never grow; give what the tank holds at each depth"};
  return ShapePtr{std::make_shared<Strapping>(points)};
}

}  // namespace stillwell
