#pragma once
// A relay contact: what it is told and what it was read back to be.

#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/quality.hpp"

#include <cstdint>
#include <optional>

namespace stillwell {

/// What a contact is told. Off is the value of everything that nobody set.
enum class Order : std::uint8_t { off, on };

/// What a contact is, as two reads of different length agreed (one late reply cannot pass for both), not what
/// was asked of it.
struct ContactSample {
  Instant at{};
  std::optional<bool> on;
  Reason fault = Reason::starting;
};

}  // namespace stillwell
