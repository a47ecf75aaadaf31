#pragma once
// How much of a line's time the asked rates take.

#include "stillwell/config/wiring.hpp"

namespace stillwell::config {

/// The share of time in which the line is busy when every station answers at once: bytes at 11 bits a
/// character and the pauses between messages. 0.5 is half of the time; above 1 the rates cannot be kept.
/// Of a line over TCP nothing is known: what its gateway's wires take is not written here.
double bus_load(const Wiring& wiring, LineIndex line);

}  // namespace stillwell::config
