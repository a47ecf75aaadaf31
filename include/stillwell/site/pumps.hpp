#pragma once
// The pumps of a site in one scan: each with what it sees of its tanks, its switches and the other pumps.

#include "stillwell/site/solve.hpp"

#include <vector>

namespace stillwell {

/// What was read and judged of this scan before the pumps are solved.
struct PumpSight {
  const InputImage& image;
  const std::vector<Level>& levels;  ///< by tank
  const std::vector<SwitchState>& switches;
  const std::vector<MeterState>& meters;
  Instant now;
};

/// Fills in the outcome's contacts, the events of the pumps and their views.
void solve_pumps(const Model& model, Memory& memory, const PumpSight& sight, Outcome& outcome);

}  // namespace stillwell
