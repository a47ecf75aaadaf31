#pragma once
// A sheet as plain text for a terminal or a printer.

#include "stillwell/report/sheet.hpp"

#include <cstddef>
#include <string>

namespace stillwell::report {

/// No line is wider than `width` cells (at least 60). Cells wrap; a grid with more columns than fit goes on
/// below itself, its first column repeated.
std::string to_columns(const Sheet& sheet, std::size_t width = 100);

}  // namespace stillwell::report
