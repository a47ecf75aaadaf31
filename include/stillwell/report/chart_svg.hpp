#pragma once
// The dip chart as a drawing: contents against level as a curve, and beside it a gauge board with the litres
// at each level, to be enlarged, cut out and put beside a sight glass.

#include "stillwell/tank/tank.hpp"

#include <string>

namespace stillwell::report {

/// The levels at which a board has lines: every `minor` a short one, every `major` one with its litres.
struct BoardSteps {
  Metres major{};
  Metres minor{};
};
/// Lines of 1, 2 or 5 times a power of ten, no nearer than can be read where the full line is `pixels` high.
BoardSteps board_steps(Metres full, double pixels);

/// Of a tank with a shape. `site` and `source` say whose it is and what it was made of.
std::string chart_svg(const Tank& tank, const std::string& site, const std::string& source);

}  // namespace stillwell::report
