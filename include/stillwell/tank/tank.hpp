#pragma once
// A tank: its levels and what they mean in litres and percent.

#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/reading/gauge.hpp"
#include "stillwell/tank/shape.hpp"

#include <optional>
#include <string>

namespace stillwell {

struct Tank {
  std::string id;
  std::string name;
  GaugeIndex gauge;
  Mounting mounting;
  Metres unusable{0.0};  ///< depth below the outlet
  ShapePtr shape;
  bool by_volume = false;  ///< percent means percent of volume, everywhere for this tank

  [[nodiscard]] Metres full() const { return mounting.full; }
  [[nodiscard]] Litres capacity() const { return shape->volume(full()); }
};

/// What stands in a tank. Present only while its level is usable.
struct Contents {
  Metres level{};
  Percent percent{};  ///< of the span floor..full, by level or by volume as the tank says
  Litres volume{};
  Litres usable{};  ///< above the outlet; never negative
  Litres ullage{};  ///< room left below the full line; never negative
};

Contents contents_at(const Tank& tank, Metres level);

/// The level a set point stands for.
Metres level_of(const Tank& tank, const SetPoint& set_point);
Percent percent_of(const Tank& tank, Metres level);

}  // namespace stillwell
