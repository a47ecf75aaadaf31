#pragma once
// The alarms' part of the picture: what came first, and under it what that brought; a flood and what is put
// aside in one line each.

#include "stillwell/report/canvas.hpp"
#include "stillwell/report/snapshot.hpp"

#include <chrono>

namespace stillwell::report {

/// How many rows the alarms want, of which at most `most` are alarms.
std::size_t rows_for_alarms(const Snapshot& snapshot, std::size_t most);
/// Draws them from `row` on, in that many rows.
void draw_alarms(Canvas& canvas, const Snapshot& snapshot, std::size_t row, std::size_t most,
                 std::chrono::minutes utc_offset);

}  // namespace stillwell::report
