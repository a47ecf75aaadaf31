#pragma once
// Small pumps that together have every rule, each with the part of the world that the rule looks at.

#include <vector>

#include "proof/explore.hpp"

namespace proof {

std::vector<Machine> machines();
/// Too large for every run.
std::vector<Machine> large_machines();

}  // namespace proof
