#pragma once
// The duty of a pump whose tank is kept by floats alone: what starts and stops it, and what speaks against
// it. A pump of a tank with gauges asks its level here too, so that both are asked in the same words.

#include "stillwell/pump/pump.hpp"
#include "stillwell/pump/scales.hpp"

namespace stillwell {

/// What the floats of its tank say to this pump. A high float that cannot be read does not stop a drain pump:
/// for that one it brings an alarm and no trip, and who stops it floods the sump.
FloatSight sight_of(const Pump& pump, const PumpInputs& inputs);

/// Whether its tank's level, or where its floats see the water, is known.
bool knows_its_tank(const Pump& pump, const PumpInputs& inputs);

/// What the floats ask for. Between them the last wish stands; from floats that say nothing there is none.
bool demand_by_floats(Duty duty, bool before, FloatSight sight);

/// Rules 2 and 7: what an unknown tank says, and for a fill pump the float that hangs too high for its water.
void weigh_tank(const Pump& pump, const PumpMemory& memory, const PumpInputs& inputs, Scales& scales);

}  // namespace stillwell
