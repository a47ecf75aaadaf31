#pragma once
// The levels at which a dip chart is printed.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/result.hpp"

#include <string_view>
#include <vector>

namespace stillwell::command {

/// From the floor to the full line, both included, and no more than 100 000 of them.
Result<std::vector<Metres>> levels_by_step(Metres step, Metres full);

/// The levels of a text, one a line, in its order. Below the header `level_m` the first column is bare
/// metres; below `level`, or without a header, it is a length with its unit. Empty lines and lines that begin
/// with # are skipped. Each must lie between the floor and the full line. A failure begins with "line N: ".
Result<std::vector<Metres>> levels_of(std::string_view text, Metres full);

}  // namespace stillwell::command
