#pragma once
// Out of service: a person works on a tank or a pump (rule 16). Released: a person switched everything off.

#include "stillwell/site/solve.hpp"

namespace stillwell {

/// Whether a person has taken the pump itself, or a tank that it touches, out of service.
bool is_taken_out(const Model& model, const Memory& memory, PumpIndex pump);

/// The same, or a proof shows what that does (rule 18). The two are kept apart: what a person took out is put
/// back by no proof (rule 16).
bool is_out(const Model& model, const Memory& memory, PumpIndex pump);

/// Whether every contact was released (rule 19) and the pump has not been reset since, or a proof shows that.
bool is_released(const Memory& memory, PumpIndex pump);

}  // namespace stillwell
