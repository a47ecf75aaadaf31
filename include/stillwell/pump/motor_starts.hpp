#pragma once
// How often a motor may be started, and how long it must rest: NEMA MG 10, Table 2-3 (Design A and B motors),
// from reprints that agree.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

#include <optional>

namespace stillwell {

/// From its nameplate.
struct MotorPlate {
  Watts rated{};  ///< at the shaft
  int poles = 2;  ///< the table knows 2, 4 and 6
};

inline constexpr double kWattsPerHorsepower = 745.7;

struct MotorStarts {
  double horsepower = 0.0;  ///< rating of the row
  PerHour at_most{};        ///< A. The inertia of what it drives may allow fewer (B / Wk²), never more
  Duration rest{};          ///< C: at least so long between two runs
};

/// The row of its rating (within a thousandth, since nameplates are rounded) or of the next larger one;
/// nothing is interpolated. Empty beyond 250 hp and for other numbers of poles.
std::optional<MotorStarts> starts_of(const MotorPlate& motor);

}  // namespace stillwell
