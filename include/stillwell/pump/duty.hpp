#pragma once
// What the tank of a pump asks of it: by its level, or by its floats where floats alone keep it.

#include "stillwell/pump/pump.hpp"
#include "stillwell/pump/scales.hpp"

namespace stillwell {

/// What the floats of its tank say to this pump. A high float that cannot be read does not stop a drain pump:
/// for that one it brings an alarm and no trip, and who stops it floods the sump.
FloatSight sight_of(const Pump& pump, const PumpInputs& inputs);

/// Whether its tank's level, or where its floats see the water, is known.
bool knows_its_tank(const Pump& pump, const PumpInputs& inputs);

/// Whether the tank asks for the pump. Between start and stop the last wish stands; a level that is not
/// known, and floats that contradict each other, wish nothing. Compared at the edge that stops the pump (rule
/// 2).
bool asks(const Pump& pump, bool before, const PumpInputs& inputs);

/// Rules 2 and 7: what an unknown tank says, and for a fill pump the float that hangs too high for its water.
void weigh_tank(const Pump& pump, const PumpMemory& memory, const PumpInputs& inputs, Scales& scales);

}  // namespace stillwell
