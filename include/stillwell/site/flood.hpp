#pragma once
// A flood of alarms, as an event of the site: its begin with the alarm that came first, and its end. In a
// flood nobody reads every alarm (alarm/figures.hpp); the first one is where to look.

#include "stillwell/site/solve.hpp"

namespace stillwell {

/// After the alarms of the scan are known.
void follow_flood(const Model& model, Memory& memory, Outcome& outcome);

}  // namespace stillwell
