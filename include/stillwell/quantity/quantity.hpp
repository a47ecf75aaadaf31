#pragma once
// Physical quantities as types, so that a depth cannot be passed where a distance in another unit, a volume
// or a flow is meant. Every type holds one SI-derived unit, named by the type; conversion happens at the
// edges (quantity/units.hpp).

#include <compare>

namespace stillwell {

/// A number with a unit. Two of the same kind add and subtract; a quotient of two is a plain ratio.
template <class Tag>
class Quantity {
 public:
  constexpr Quantity() = default;
  constexpr explicit Quantity(double value) : value_{value} {}

  /// The bare number in the unit that the type is named after; for printing, payloads and libraries only.
  [[nodiscard]] constexpr double value() const { return value_; }

  constexpr Quantity& operator+=(Quantity other) { return value_ += other.value_, *this; }
  constexpr Quantity& operator-=(Quantity other) { return value_ -= other.value_, *this; }
  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity{a.value_ + b.value_}; }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity{a.value_ - b.value_}; }
  friend constexpr Quantity operator-(Quantity a) { return Quantity{-a.value_}; }
  friend constexpr Quantity operator*(Quantity a, double k) { return Quantity{a.value_ * k}; }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity{a.value_ * k}; }
  friend constexpr Quantity operator/(Quantity a, double k) { return Quantity{a.value_ / k}; }
  friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }
  friend constexpr auto operator<=>(const Quantity&, const Quantity&) = default;

 private:
  double value_{0.0};
};

using Metres = Quantity<struct MetreTag>;
using SquareMetres = Quantity<struct SquareMetreTag>;
using Litres = Quantity<struct LitreTag>;
using MetresPerSecond = Quantity<struct MetrePerSecondTag>;
using LitresPerSecond = Quantity<struct LitrePerSecondTag>;
using Watts = Quantity<struct WattTag>;
using Amperes = Quantity<struct AmpereTag>;
using Percent = Quantity<struct PercentTag>;
using Degrees = Quantity<struct DegreeTag>;  ///< of angle
using Pascals = Quantity<struct PascalTag>;
using PerHour = Quantity<struct PerHourTag>;  ///< how often something may happen

/// A temperature on the Celsius scale. Two of them only subtract (to kelvins); adding them means nothing.
class Celsius {
 public:
  constexpr Celsius() = default;
  constexpr explicit Celsius(double value) : value_{value} {}
  [[nodiscard]] constexpr double value() const { return value_; }
  friend constexpr double operator-(Celsius a, Celsius b) { return a.value_ - b.value_; }
  friend constexpr auto operator<=>(const Celsius&, const Celsius&) = default;

 private:
  double value_{0.0};
};

inline constexpr double kLitresPerCubicMetre = 1000.0;

constexpr Litres operator*(SquareMetres area, Metres depth) {
  return Litres{area.value() * depth.value() * kLitresPerCubicMetre};
}
constexpr Metres operator/(Litres volume, SquareMetres area) {
  return Metres{volume.value() / kLitresPerCubicMetre / area.value()};
}
constexpr SquareMetres operator*(Metres a, Metres b) {
  return SquareMetres{a.value() * b.value()};
}

namespace literals {
constexpr Metres operator""_m(long double v) {
  return Metres{static_cast<double>(v)};
}
constexpr Metres operator""_cm(long double v) {
  return Metres{static_cast<double>(v) / 100.0};
}
constexpr Litres operator""_L(long double v) {
  return Litres{static_cast<double>(v)};
}
constexpr Percent operator""_pct(long double v) {
  return Percent{static_cast<double>(v)};
}
}  // namespace literals

}  // namespace stillwell
