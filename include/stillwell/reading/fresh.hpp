#pragma once
// Whether what was read last still counts. Shared by all that is read whole: switches and meters.

#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/quality.hpp"

#include <optional>

namespace stillwell {

/// Why the last good reading counts for nothing now; none while it does. A failed read is tolerated until
/// the last good one is older than stale_after; then what failed says more than the age.
constexpr Reason doubt_of(const std::optional<Instant>& read_at, Reason fault, Duration stale_after,
                          Instant now) {
  if (read_at && now - *read_at <= stale_after) return Reason::none;
  if (fault != Reason::none) return fault;
  return read_at ? Reason::stale : Reason::starting;
}

}  // namespace stillwell
