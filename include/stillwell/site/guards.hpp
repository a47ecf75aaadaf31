#pragma once
// What a pump is guarded by.

#include "stillwell/site/model.hpp"

namespace stillwell {

/// Whether a gauge, switch or meter can stop a pump: its readings are solved at once, not at the next tick.
bool guards_a_pump(const Model& model, GaugeIndex gauge);
bool guards_a_pump(const Model& model, SwitchIndex input);
bool guards_a_pump(const Model& model, MeterIndex meter);

}  // namespace stillwell
