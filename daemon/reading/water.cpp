#include "stillwell/reading/water.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {

std::optional<KilogramsPerCubicMetre> water_density(Celsius temperature) {
  const double t = temperature.value();
  if (!(t >= 0.0 && t <= 40.0)) return {};
  const double from_densest = t - 3.983035;
  return KilogramsPerCubicMetre{
      999.974950 * (1.0 - from_densest * from_densest * (t + 301.797) / (522528.9 * (t + 69.34881)))};
}

Metres depth_under(Pascals pressure, KilogramsPerCubicMetre density) {
  return Metres{pressure.value() / (density.value() * kStandardGravity)};
}

Pascals pressure_under(Metres depth, KilogramsPerCubicMetre density) {
  return Pascals{depth.value() * density.value() * kStandardGravity};
}

std::optional<Metres> correct_depth(Metres reported, Celsius temperature) {
  const auto density = water_density(temperature);
  if (!density) return {};
  return reported * (kConventionalDensity / *density);
}

std::optional<Metres> doubt_without_temperature(Metres reported, TemperatureRange water) {
  const auto cold = correct_depth(reported, water.lowest);
  const auto warm = correct_depth(reported, water.highest);
  if (!cold || !warm || !(water.lowest <= water.highest)) return {};
  const auto off = [reported](Metres depth) { return Metres{std::abs((depth - reported).value())}; };
  return std::max(off(*cold), off(*warm));
}

}  // namespace stillwell
