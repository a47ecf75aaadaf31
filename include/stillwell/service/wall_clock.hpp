#pragma once
// The wall clock, for stamps and windows only.

#include "stillwell/quantity/time.hpp"

#include <optional>
#include <string>

namespace stillwell::service {

Stamp wall_now();

/// Whether somebody keeps the clock right: a time server, a radio.
bool is_synchronised();

/// Names this run of the computer, so that Instants of it can be compared; empty where the system has none.
std::string boot_id();

/// Makes `zone` ("Europe/Lisbon"; empty: the system's) the process's local time.
void use_timezone(const std::string& zone);

/// What the clocks of the house show at a stamp.
std::optional<LocalTime> to_local(Stamp stamp);

/// The time; empty while the clock is neither synchronised nor later than `newest_known` (rule 21).
std::optional<Stamp> trusted_now(std::optional<Stamp> newest_known);

}  // namespace stillwell::service
