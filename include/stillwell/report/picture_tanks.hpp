#pragma once
// The tanks' part of the picture: vessels side by side, or bars when there are too many for that.

#include "stillwell/report/canvas.hpp"
#include "stillwell/report/snapshot.hpp"

namespace stillwell::report {

/// How many rows the tanks want; fewer are made do with.
std::size_t rows_for_tanks(const Canvas& canvas, const Snapshot& snapshot, std::size_t available);
/// Draws them from `row` on, in exactly `rows` rows.
void draw_tanks(Canvas& canvas, const Snapshot& snapshot, std::size_t row, std::size_t rows);

}  // namespace stillwell::report
