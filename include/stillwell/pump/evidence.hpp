#pragma once
// What speaks against running a pump. Each question starts from *no* and is answered *yes* only by evidence
// that is there: a missing value and a number that is none both lose.

#include "stillwell/pump/pump.hpp"
#include "stillwell/pump/scales.hpp"

#include <vector>

namespace stillwell {

/// Every objection of this scan, worst first; equal ones in the order of the cause table. Updates the
/// hystereses and delays in the memory.
std::vector<Objection> object(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs);

/// Whether the contact is confirmed to be what it was last ordered to be, by a read made since.
bool is_confirmed(const Pump& pump, const PumpMemory& memory, const PumpInputs& inputs);

}  // namespace stillwell
