#pragma once
// Levels over time as comma-separated values (RFC 4180): `at`, the level of each tank in metres, whether each
// pump was ordered on (1) and each alarm stood (1). The log of levels and a rehearsal write the same rows,
// and a rehearsal reads them (rehearsal/record.hpp).

#include "stillwell/quantity/time.hpp"
#include "stillwell/site/solve.hpp"

#include <string>

namespace stillwell::report {

/// With its end, as every row.
std::string level_header(const Model& model);
/// The level as the pumps see it, before it is smoothed; empty where it is not known.
std::string level_row(const View& view, Stamp at);

}  // namespace stillwell::report
