#pragma once
// Which meter shows what the motor of a pump takes.

#include "stillwell/site/model.hpp"

#include <optional>

namespace stillwell {

std::optional<MeterIndex> meter_of(const Pump& pump);
/// The same where it shows watts: amperes alone make no energy.
std::optional<MeterIndex> watt_meter_of(const Model& model, const Pump& pump);

}  // namespace stillwell
