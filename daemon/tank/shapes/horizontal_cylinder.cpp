#include "stillwell/tank/shapes/horizontal_cylinder.hpp"

#include "stillwell/tank/shapes/dimension.hpp"
#include "stillwell/tank/shapes/lying_shell.hpp"

#include <cmath>

namespace stillwell {
namespace {

constexpr double kSteepest = 0.1;  // beyond it a vessel does not lie any more; what is meant is centimetres

std::optional<Failure> wrong_with(const HorizontalCylinder& of) {
  if (auto wrong = not_positive({{"diameter", of.diameter}, {"length", of.length}})) return wrong;
  if (auto wrong = negative({{"tilt", of.tilt}, {"gauge_at", of.gauge_at}})) return wrong;
  if (of.tilt > kSteepest * of.length)
    return Failure{"tilt is " + in_words(of.tilt) + " over a length of " + in_words(of.length) +
                   "; give how much higher the far end lies, at most a tenth of the length"};
  if (of.gauge_at > of.length)
    return Failure{"gauge_at is " + in_words(of.gauge_at) + ", beyond the shell's length of " +
                   in_words(of.length) + "; measure it from the lower end along the shell"};
  return std::nullopt;
}

Result<geometry::LyingShell> shell_of(const HorizontalCylinder& of) {
  const auto near = geometry::make_dome(of.near, of.diameter);
  if (!near) return Failure{"near head: " + near.error()};
  const auto far = geometry::make_dome(of.far, of.diameter);
  if (!far) return Failure{"far head: " + far.error()};
  return geometry::LyingShell{.radius = of.diameter.value() / 2.0,
                              .length = of.length.value(),
                              .near = *near,
                              .far = *far,
                              .rise = of.tilt.value()};
}

}  // namespace

Result<ShapePtr> horizontal_cylinder(const HorizontalCylinder& dimensions) {
  if (auto wrong = wrong_with(dimensions)) return *std::move(wrong);
  const auto shell = shell_of(dimensions);
  if (!shell) return Failure{shell.error()};
  return shell->rise > 0.0 ? geometry::tilted_vessel(*shell) : geometry::level_vessel(*shell);
}

Metres floor_under_gauge(const HorizontalCylinder& dimensions) {
  const auto shell = shell_of(dimensions);
  if (!shell || !(shell->rise > 0.0)) return Metres{0.0};
  const double sine = shell->rise / shell->length;
  const double floor =
      dimensions.gauge_at.value() * sine - shell->radius * std::sqrt((1.0 - sine) * (1.0 + sine));
  return Metres{floor - geometry::lowest_point(*shell)};
}

}  // namespace stillwell
