#include "stillwell/tank/shapes/bounded.hpp"
#include "stillwell/tank/shapes/integral_table.hpp"
#include "stillwell/tank/shapes/lying_shell.hpp"
#include "stillwell/tank/shapes/segment.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwell::geometry {
namespace {

using std::numbers::pi;

/// What stands below h in half an ellipsoid lying on its side, one metre deep: half a sphere's cap,
/// stretched.
double half_ellipsoid(double radius, double h) {
  return pi * h * h * (3.0 * radius - h) / (6.0 * radius);
}
double half_ellipsoid_section(double radius, double h) {
  return pi * h * (2.0 * radius - h) / (2.0 * radius);
}

/// A cone on its side, one metre deep. A level plane at y from the axis cuts it in a hyperbola. With
/// s = √(1 − y²) and all lengths in radii, the piece that the plane parts from the axis has the section
///   s − y²·artanh(s)               = 2·Σ s^(2k+1)/(4k² − 1),               k = 1, 2, …
/// and the contents
///   (arcsin(s) − 2·y·s + y³·artanh(s))/3 = y/3·Σ (a(k) − 2/(4k² − 1))·s^(2k+1),  k = 2, 3, …
/// with a(k) = a(k−1)·2k/(2k + 1), a(0) = 1. Near the wall the closed forms cancel and the series do not.
struct ConePiece {
  double section;
  double contents;
};

ConePiece thin_piece(double y, double s) {
  constexpr int kTerms = 16;  // s² is below 0.1
  ConePiece sums{.section = 0.0, .contents = 0.0};
  double power = s;
  double weight = 1.0;
  for (int k = 1; k <= kTerms; ++k) {
    power *= s * s;
    weight *= 2.0 * k / (2.0 * k + 1.0);
    const double share = 2.0 / (4.0 * k * k - 1.0);
    sums.section += share * power;
    sums.contents += k == 1 ? 0.0 : (weight - share) * power;
  }
  return {.section = sums.section, .contents = y / 3.0 * sums.contents};
}

ConePiece piece_of_cone(double y, double s) {
  constexpr double kThin = 0.3;
  if (s < kThin) return thin_piece(y, s);
  if (y == 0.0) return {.section = 1.0, .contents = pi / 6.0};
  const double artanh = std::acosh(1.0 / y);  // of s; exact where s has rounded to one
  return {.section = s - y * y * artanh,
          .contents = (std::asin(std::min(s, 1.0)) - 2.0 * y * s + y * y * y * artanh) / 3.0};
}

ConePiece piece_at(double radius, double h) {
  return piece_of_cone(std::abs(radius - h) / radius, chord(radius, h) / (2.0 * radius));
}

/// What stands below h in the lying cone, and the area of its surface.
double lying_cone(double radius, double h) {
  const double piece = piece_at(radius, h).contents;
  return radius * radius * (h <= radius ? piece : pi / 3.0 - piece);
}
double lying_cone_section(double radius, double h) {
  return radius * piece_at(radius, h).section;
}

/// Depths of the heads by the way their contents are found.
struct Heads {
  double ellipsoids = 0.0;  ///< depths summed up: contents are in proportion
  double cones = 0.0;       ///< likewise
  std::vector<Band> others;
  std::vector<double> breaks;  ///< over the axis, of the others
};

void sort_into(Heads& heads, const Dome& dome) {
  for (const Band& band : dome.bands) {
    const auto* cap = std::get_if<CapBand>(&band);
    if (const auto* cone = std::get_if<ConeBand>(&band)) {
      heads.cones += cone->depth;
    } else if (cap != nullptr && cap->centre == 0.0) {
      heads.ellipsoids += cap->half_axis;
    } else {
      heads.others.push_back(band);
      for (const Ring& ring : dome.rings)
        heads.breaks.insert(heads.breaks.end(), {-ring.radius, ring.radius});
    }
  }
}

std::optional<IntegralTable> table_of(const Heads& heads, double radius) {
  if (heads.others.empty()) return std::nullopt;
  std::vector<double> depths{0.0, 2.0 * radius};
  for (const double over_axis : heads.breaks)
    depths.push_back(std::clamp(radius + over_axis, 0.0, 2.0 * radius));
  std::ranges::sort(depths);
  depths.erase(std::unique(depths.begin(), depths.end()), depths.end());
  const auto area = [&heads, radius](double h) {
    double sum = 0.0;
    for (const Band& band : heads.others)
      sum += surface(band, {.level = h - radius, .sine = 0.0, .cosine = 1.0});
    return sum;
  };
  return IntegralTable{area, depths};
}

class LevelVessel final : public Bounded {
 public:
  LevelVessel(const LyingShell& shell, const Heads& heads)
      : Bounded{2.0 * shell.radius},
        radius_{shell.radius},
        length_{shell.length},
        ellipsoids_{heads.ellipsoids},
        cones_{heads.cones},
        others_{table_of(heads, shell.radius)} {}

 private:
  [[nodiscard]] double filled(double h) const override {
    double sum = length_ * segment_area(radius_, h) + ellipsoids_ * half_ellipsoid(radius_, h);
    if (cones_ > 0.0) sum += cones_ * lying_cone(radius_, h);
    if (others_) sum += others_->volume(h);
    return sum;
  }
  [[nodiscard]] double area(double h) const override {
    double sum = length_ * chord(radius_, h) + ellipsoids_ * half_ellipsoid_section(radius_, h);
    if (cones_ > 0.0) sum += cones_ * lying_cone_section(radius_, h);
    if (others_) sum += others_->area(h);
    return sum;
  }

  double radius_;
  double length_;
  double ellipsoids_;
  double cones_;
  std::optional<IntegralTable> others_;
};

}  // namespace

ShapePtr level_vessel(const LyingShell& shell) {
  Heads heads;
  sort_into(heads, shell.near);
  sort_into(heads, shell.far);
  return std::make_shared<LevelVessel>(shell, heads);
}

}  // namespace stillwell::geometry
