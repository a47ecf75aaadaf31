#pragma once
// The wall clock, for stamps and windows only.

#include "stillwell/quantity/time.hpp"

#include <optional>
#include <string>

namespace stillwell::service {

Stamp wall_now();

/// Makes `zone` ("Europe/Lisbon"; empty: the system's) the process's local time.
void use_timezone(const std::string& zone);

/// Minute of the local day; empty while the clock is neither synchronised nor later than `newest_known`.
std::optional<int> minute_of_day(std::optional<Stamp> newest_known);

}  // namespace stillwell::service
