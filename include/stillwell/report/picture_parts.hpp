#pragma once
// What the parts of the picture share.

#include "stillwell/quantity/time.hpp"

#include <chrono>
#include <string>

namespace stillwell::report {

/// "04:12:07" on the clock of the one who looks.
std::string clock_text(Stamp stamp, std::chrono::minutes utc_offset);

/// What stands where a list was cut.
std::string more_text(std::size_t count);

}  // namespace stillwell::report
