#pragma once
// Out of service: a person works on a tank or a pump (rule 16).

#include "stillwell/site/solve.hpp"

namespace stillwell {

/// Whether the pump itself or a tank that it touches is out of service.
bool is_out(const Model& model, const Memory& memory, PumpIndex pump);

}  // namespace stillwell
