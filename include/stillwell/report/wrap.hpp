#pragma once
// Text broken into lines, between words where that goes; a number stays with its unit.

#include "stillwell/report/letters.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

/// How wide a letter is, in whatever the limit is counted in.
using Measure = std::function<double(const Letter&)>;

double measured(std::string_view text, const Measure& measure);
/// Lines of at most `limit`; at least one, and no letter lost. A word that is wider by itself is broken
/// anywhere; a single letter that is wider stands alone.
std::vector<std::string> wrapped(std::string_view text, double limit, const Measure& measure);

}  // namespace stillwell::report
