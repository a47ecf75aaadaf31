#pragma once
// A level with its quality: what the rest of the house gets to see of a gauge or of a tank.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/quality.hpp"

#include <cstddef>
#include <optional>

namespace stillwell {

/// Bad carries no level, so that none can be used by accident.
struct Level {
  std::optional<Metres> level;
  Metres uncertainty{0.0};  ///< half width, one side
  Quality quality = Quality::bad;
  Reason reason = Reason::starting;
  Instant at{};              ///< of the last accepted reading; meaningless before the first
  std::size_t agreeing = 0;  ///< so many gauges were compared and agree; 0 where there was nothing to compare

  /// Whether a decision may rest on it. A level or a half width that is no number loses here too.
  [[nodiscard]] bool usable() const {
    return quality != Quality::bad && level.has_value() && lowest() <= highest();
  }
  /// The edges that decisions use (rule 2). Only when usable().
  [[nodiscard]] Metres lowest() const { return *level - uncertainty; }
  [[nodiscard]] Metres highest() const { return *level + uncertainty; }

  static Level bad(Reason reason, Instant at) { return {{}, Metres{0.0}, Quality::bad, reason, at, 0}; }
};

}  // namespace stillwell
