#pragma once
// How soon a contact is off once the reading that trips its pump has arrived: the transaction that is under
// way on its line, one write, and what this program takes (rule 5). Reckoned, for the paper; measured by
// tests/bench.sh.

#include "stillwell/config/wiring.hpp"

#include <optional>

namespace stillwell::config {

struct Reaction {
  Duration healthy{};  ///< behind the longest transaction that is asked for on the line
  Duration silent{};   ///< behind one to a station that does not answer
};

/// Empty over TCP, where nothing is known of the wires behind the gateway. Of a pin nothing is waited for.
std::optional<Reaction> reaction_of(const Wiring& wiring, ContactIndex contact);

}  // namespace stillwell::config
