#pragma once
// Where things stand in the tree of the Homie convention 5.0: the gateway is the root device, `orchard`; each
// tank and pump is a child, `orchard-header`.

#include "stillwell/site/model.hpp"

#include <string>
#include <string_view>

namespace stillwell::report {

/// What begins every topic: the convention's domain and its major version.
inline constexpr std::string_view kHomieBase = "homie/5/";
/// The node of a device that holds its alarms, one property each.
inline constexpr std::string_view kAlarmNode = "alarm";

/// "homie/5/orchard-lift/pump/mode" of a device and what follows it.
std::string homie_topic(std::string_view device, std::string_view rest);
std::string homie_topic(std::string_view device, std::string_view node, std::string_view property);

/// "orchard-header".
std::string device_of(const Model& model, const Tank& tank);
std::string device_of(const Model& model, const Pump& pump);
/// The device that an alarm is told on. What is no device of its own speaks through the gateway.
std::string device_of(const Model& model, const Alarm& alarm);

/// The device of what an event is about, by its id there: a tank, a pump or an alarm; otherwise the gateway.
std::string device_of(const Model& model, std::string_view subject);

/// An alarm's id on its device: "low", "contact-unreachable-lift-contact".
std::string alarm_property(const Model& model, const Alarm& alarm);

}  // namespace stillwell::report
