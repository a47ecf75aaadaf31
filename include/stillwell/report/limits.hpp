#pragma once
// The limits and inputs behind causes and alarms, in the words and units of the configuration: "cistern below
// 15 % (0.330 m) until 25 % (0.550 m)".

#include "stillwell/site/model.hpp"

#include <string>

namespace stillwell::report {

/// What brings a cause about at this pump. Only for a cause that concerns it (pump/concerns.hpp).
std::string limit_of(const Model& model, const Pump& pump, Cause cause);

/// What raises an alarm, without its delay, and what ends it.
std::string raised_by(const Model& model, const Alarm& alarm);
std::string ended_by(const Model& model, const Alarm& alarm);

}  // namespace stillwell::report
