#pragma once
// Water's density, and the depth that a pressure stands for. A submerged sensor weighs the water above it: at
// 30 degC the same depth weighs 0.4 % less than the 1000 kg/m3 it usually reckons with.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/reading/surroundings.hpp"

#include <optional>

namespace stillwell {

using KilogramsPerCubicMetre = Quantity<struct KilogramPerCubicMetreTag>;

/// Density of the conventional metre of water, 9806.65 Pa.
inline constexpr KilogramsPerCubicMetre kConventionalDensity{1000.0};

/// m/s2, exact by definition (3rd CGPM, 1901). Local gravity differs by up to 0.3 %; a two-point adjustment
/// against a dipped level takes that out.
inline constexpr double kStandardGravity = 9.80665;

/// Tanaka M. et al., Metrologia 38, 301-309 (2001): air-free water at 101325 Pa. Empty outside 0..40 degC.
std::optional<KilogramsPerCubicMetre> water_density(Celsius temperature);

Metres depth_under(Pascals pressure, KilogramsPerCubicMetre density);
Pascals pressure_under(Metres depth, KilogramsPerCubicMetre density);

/// The depth of water at `temperature` that a sensor reported as depth of conventional water. Empty outside
/// 0..40 degC.
std::optional<Metres> correct_depth(Metres reported, Celsius temperature);

/// How far a depth of conventional water may be wrong, one side, when the water may have any temperature
/// within the range: the worse end, because density has one maximum and no minimum between. Empty for a range
/// that is none or leaves 0..40 degC.
std::optional<Metres> doubt_without_temperature(Metres reported, TemperatureRange water);

}  // namespace stillwell
