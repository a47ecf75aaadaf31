#pragma once
// A strapping table as a text of comma-separated values, one point a line:
//
//   level_m,volume_l        bare numbers, as the names of the columns say (what a dip chart prints)
//   0.1,180
//
//   level,volume            each cell with its unit
//   10 cm, 180 L
//
// Columns after the second, empty lines and lines beginning with # are skipped. Pure: the text is handed in.

#include "stillwell/tank/strapping.hpp"

#include <string_view>

namespace stillwell {

/// The points in the file's order, at most kMostStrapPoints. A failure begins with "line N: ". Whether they
/// make a table is for strapping() to say.
Result<std::vector<StrapPoint>> parse_strapping(std::string_view text);

}  // namespace stillwell
