#pragma once
// A load as it is written, for a meter that shows watts or amperes.

#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/reading/meter.hpp"

namespace stillwell::config {

/// In the meter's unit. The failure names both when they differ.
Result<MotorLoad> load_for(LoadKind shown, const Load& written);

}  // namespace stillwell::config
