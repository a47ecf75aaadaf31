#pragma once
// Comma-separated values as RFC 4180 has them.

#include "stillwell/report/sheet.hpp"

#include <string>
#include <vector>

namespace stillwell::report {

/// The fields of one line, without its end: quoted where a comma, a quote or a line end asks for it.
std::string csv_line(const std::vector<std::string>& fields);
/// A grid with its head; lines end as the RFC says, with CR LF.
std::string to_csv(const Grid& grid);

}  // namespace stillwell::report
