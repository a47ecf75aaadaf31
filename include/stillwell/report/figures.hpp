#pragma once
// Figures as they are told: in the units people read, and without a digit that is noise.

#include "stillwell/site/accounts.hpp"

#include <optional>
#include <string>

namespace stillwell::report {

/// To the power of ten that its error does not exceed: 3.37 ± 0.2 is 3, 347 ± 12 is 300; a value that would
/// vanish keeps a digit. At the finest to hundredths.
double rounded_to(double value, double error);

/// With as few decimals as say the same, at most two: "3.4", "120".
std::string plain(double value);

/// Zero while the level stands still as far as can be seen; absent while nobody can say.
std::optional<double> rate_mm_min(const TankFigures& figures);
std::optional<double> flow_l_min(const TankFigures& figures);

/// To seconds, minutes, hours or days, as the spread of the estimate allows.
std::optional<Duration> time_left(const std::optional<TimeTo>& to);

}  // namespace stillwell::report
