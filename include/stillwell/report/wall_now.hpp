#pragma once
// The stamp of what is told outside a scan.

#include "stillwell/quantity/time.hpp"

namespace stillwell::report {

Stamp wall_now();

}  // namespace stillwell::report
