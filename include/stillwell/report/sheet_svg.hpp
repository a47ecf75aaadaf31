#pragma once
// A sheet as a picture, to be printed and hung up.

#include "stillwell/report/sheet.hpp"

#include <string>

namespace stillwell::report {

/// The same sheet always gives the same bytes. Nothing overlaps: every text is measured and wrapped.
std::string to_svg(const Sheet& sheet);

}  // namespace stillwell::report
