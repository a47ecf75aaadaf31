#include "stillwell/tank/shapes/bounded.hpp"
#include "stillwell/tank/shapes/integral_table.hpp"
#include "stillwell/tank/shapes/lying_shell.hpp"
#include "stillwell/tank/shapes/segment.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::geometry {
namespace {

/// The shell's slope. Heights are from its axis at the near end.
struct Slope {
  double sine;
  double cosine;
  explicit Slope(const LyingShell& shell)
      : sine{shell.rise / shell.length}, cosine{std::sqrt((1.0 - sine) * (1.0 + sine))} {}
};

/// The surface within the shell: the segments of the circle that the water cuts at its two ends differ by
/// just this area times the slope's sine. Their difference is taken in angles, so that it stays sharp for the
/// smallest slope.
double shell_surface(const LyingShell& shell, const Slope& slope, double level) {
  const double radius = shell.radius;
  const double upper = std::min(level / slope.cosine, radius);
  const double lower = std::max((level - shell.rise) / slope.cosine, -radius);
  if (!(upper > lower)) return 0.0;
  const bool whole = upper < radius && lower > -radius;
  const double rise = whole ? shell.rise / slope.cosine : upper - lower;
  const double middle = (wetted_angle(radius, radius + upper) + wetted_angle(radius, radius + lower)) / 2.0;
  const double sine = std::sin(middle);
  const double between = 2.0 * std::asin(std::clamp(rise / (2.0 * radius * sine), 0.0, 1.0));
  return radius * radius * (angle_minus_sine(between) + 2.0 * std::sin(between) * sine * sine) / slope.sine;
}

double surface_at(const LyingShell& shell, const Slope& slope, double level) {
  return shell_surface(shell, slope, level) +
         shell.near.surface_at({.level = level, .sine = -slope.sine, .cosine = slope.cosine}) +
         shell.far.surface_at({.level = level - shell.rise, .sine = slope.sine, .cosine = slope.cosine});
}

double highest_point(const LyingShell& shell) {
  const Slope slope{shell};
  return std::max(shell.near.reach(-slope.sine, slope.cosine),
                  shell.rise + shell.far.reach(slope.sine, slope.cosine));
}

/// Where the surface meets a circle of the wall, the area may break.
std::vector<double> breaks_of(const LyingShell& shell, double lowest, double height) {
  const Slope slope{shell};
  std::vector<double> depths;
  const auto add = [&](double over_axis, double half) {
    depths.insert(depths.end(), {over_axis - half - lowest, over_axis + half - lowest});
  };
  for (const Ring& ring : shell.near.rings)
    add(-ring.at * slope.sine, ring.radius * slope.cosine);
  for (const Ring& ring : shell.far.rings)
    add(shell.rise + ring.at * slope.sine, ring.radius * slope.cosine);
  std::ranges::sort(depths);

  const double hair = 1e-12 * height;  // two breaks nearer than this are one
  std::vector<double> breaks{0.0};
  for (const double depth : depths) {
    if (depth > breaks.back() + hair && depth < height - hair) breaks.push_back(depth);
  }
  breaks.push_back(height);
  return breaks;
}

class TiltedVessel final : public Bounded {
 public:
  TiltedVessel(double height, IntegralTable table) : Bounded{height}, table_{std::move(table)} {}

 private:
  [[nodiscard]] double filled(double h) const override { return table_.volume(h); }
  [[nodiscard]] double area(double h) const override { return table_.area(h); }

  IntegralTable table_;
};

}  // namespace

double lowest_point(const LyingShell& shell) {
  const Slope slope{shell};
  return std::min(-shell.near.reach(slope.sine, slope.cosine),
                  shell.rise - shell.far.reach(-slope.sine, slope.cosine));
}

ShapePtr tilted_vessel(const LyingShell& shell) {
  const Slope slope{shell};
  const double lowest = lowest_point(shell);
  const double height = highest_point(shell) - lowest;
  const auto area = [&](double h) { return surface_at(shell, slope, lowest + h); };
  return std::make_shared<TiltedVessel>(height, IntegralTable{area, breaks_of(shell, lowest, height)});
}

}  // namespace stillwell::geometry
