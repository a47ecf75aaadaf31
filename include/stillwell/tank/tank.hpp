#pragma once
// A tank: its levels and what they mean in litres and percent.

#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/reading/combine.hpp"
#include "stillwell/reading/gauge.hpp"
#include "stillwell/reading/mark.hpp"
#include "stillwell/tank/floats.hpp"
#include "stillwell/tank/night_flow.hpp"
#include "stillwell/tank/outline.hpp"
#include "stillwell/tank/shape.hpp"

#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace stillwell {

struct TankGauge {
  GaugeIndex gauge;
  Mounting mounting;
};

/// A float at a known height.
struct TankMark {
  SwitchIndex input;  ///< of this tank alone
  MarkRules rules;
};

/// A level that a gauge shows and that is not believed, unless a person says that it is right.
struct Refused {
  GaugeIndex gauge;
  Metres level{};
};

struct Tank {
  std::string id;
  std::string name;
  std::vector<TankGauge> gauges;  ///< one or more, at most kMostGauges; none in a tank that is kept by floats
  std::optional<TankFloats> floats{};  ///< instead of gauges: then it has no level, and no shape
  std::vector<TankMark> marks{};       ///< floats that may confirm what the gauges show
  CombineRules combine;
  Metres full_line{};    ///< level of the full line above the lowest point inside
  Metres unusable{0.0};  ///< depth below the outlet
  ShapePtr shape;
  std::optional<Outline> outline{};  ///< for paper; empty where the tank has no shape
  bool by_volume = false;            ///< percent means percent of volume, everywhere for this tank
  Duration smooth{};  ///< time constant of the level that people are shown; decisions take the accepted one
  NightRules night{.more_than = kNoLeak};

  /// The limit of a tank that has no leak alarm: its night flow is measured all the same, and judged by
  /// nobody.
  static constexpr LitresPerSecond kNoLeak{std::numeric_limits<double>::infinity()};

  // How fast the water can move; empty where nobody said.
  std::optional<MetresPerSecond> fastest;        ///< either way, whatever runs
  std::optional<LitresPerSecond> draws_at_most;  ///< otherwise than by a pump that is known here
  std::optional<LitresPerSecond> gains_at_most;  ///< likewise

  [[nodiscard]] Metres full() const { return full_line; }
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
