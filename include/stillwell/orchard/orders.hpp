#pragma once
// What may be asked of a running orchard, one order a line: faults, levels, flows, hands on a panel, and
// the truth.

#include "stillwell/plant/plant.hpp"

#include <string>
#include <string_view>

namespace stillwell::orchard {

/// Carries an order out and answers with one line, "ok …" or "error …".
std::string carry_out(std::string_view order, plant::Plant& plant);

/// The truth as one line of JSON: levels, flows, contacts, switches, faults.
std::string truth_of(const plant::Plant& plant);

}  // namespace stillwell::orchard
