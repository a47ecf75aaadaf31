#pragma once
// The site as a picture of a terminal's size: tanks as vessels with their water, pumps, alarms, what happened
// last. Pure.

#include "stillwell/report/snapshot.hpp"

#include <chrono>
#include <string>
#include <vector>

namespace stillwell::report {

struct PictureStyle {
  std::size_t rows = 24;
  std::size_t columns = 80;  ///< never more than 160 are used
  bool colour = false;
  bool unicode = true;
  std::chrono::minutes utc_offset{0};  ///< of the clock that is shown
};

/// At most `rows` lines of at most `columns` cells, without line ends. When not all fits, the part that asks
/// for attention is kept, and the rest is counted.
std::vector<std::string> picture(const Snapshot& snapshot, const PictureStyle& style);

}  // namespace stillwell::report
