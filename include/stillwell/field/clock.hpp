#pragma once
// The one place where the monotonic clock is read.

#include "stillwell/quantity/time.hpp"

namespace stillwell::field {

Instant now();

}  // namespace stillwell::field
