#pragma once
// What the contact, the contactor, the motor and the flow show of a pump. Called by pump/evidence.hpp in each
// scan; they step the delays in the memory.

#include "stillwell/pump/pump.hpp"
#include "stillwell/pump/scales.hpp"

namespace stillwell {

/// Rules 11 and 12: whether it is what it was ordered to be.
void weigh_contact(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales);
/// Rule 12: a motor that runs unasked, or does not follow.
void weigh_motor(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales);
/// Whether something shows its motor or its flow, at once.
bool has_witness(const Pump& pump);
/// Whether every witness of the motor that there is can be read, and says that it stands. Flow is asked where
/// there is no better one.
bool is_seen_standing(const Pump& pump, const PumpInputs& inputs);
/// Whether the isolator is confirmed to be what it was last ordered to be.
bool follows_isolator(const Isolator& isolator, const PumpMemory& memory, const PumpInputs& inputs);
/// Rule 12: the isolator above the contactor.
void weigh_isolator(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales);
/// Rules 8 and 10: whether it moves water, and the rest after it did not.
void weigh_dry_run(const Pump& pump, PumpMemory& memory, const PumpInputs& inputs, Scales& scales);

}  // namespace stillwell
