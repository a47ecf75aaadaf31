#pragma once
// A proof test that is under way (rule 18). It stands for as long as whoever runs it says so again; then the
// pump is off.

#include "stillwell/pump/causes.hpp"
#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/time.hpp"

#include <chrono>
#include <optional>

namespace stillwell {

inline constexpr Duration kProofLease = std::chrono::seconds{5};

struct ProofLease {
  PumpIndex pump;
  std::optional<Cause> forced;
  Instant until{};
};

}  // namespace stillwell
