#pragma once
// What a sensor would have said, had it known the air or the water that it measures through. Without the
// companion reading that tells, the value carries the doubt of the range that the site states.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/sample.hpp"
#include "stillwell/reading/surroundings.hpp"

#include <optional>

namespace stillwell {

/// What the sensor's own arithmetic takes for granted. Nothing stated: it is taken at its word.
struct Correction {
  std::optional<Celsius> assumes;         ///< distance gauges: the air temperature it reckons with
  TemperatureRange air{};                 ///< in which the air above the water lies; used with `assumes`
  std::optional<TemperatureRange> water;  ///< depth gauges: in which the water lies
};

/// The newest companion readings. Air and water warm slowly, so that one counts for kCompanionHolds.
struct Companions {
  template <class Value>
  struct Last {
    std::optional<Value> value;
    Instant at{};
  };
  Last<Celsius> air;
  Last<Percent> humidity;
  Last<Celsius> water;
};
inline constexpr Duration kCompanionHolds = std::chrono::minutes{10};  // common practice, no source

/// A temperature outside the range in which air or water lies is a fault of its sensor, and tells nothing.
void remember(Companions& memory, const GaugeSample& sample, const Correction& correction);

struct Corrected {
  Metres value{};
  Metres uncertainty{};  ///< half width, one side
  bool is_known = true;  ///< what a correction needs was known, or none is needed
};

/// Of a distance that an ultrasonic sensor reports. When the air's temperature was lost, the last one goes on
/// being used, so that the level does not leap; the doubt is the whole range's.
Corrected corrected_distance(Metres reported, const Correction& correction, const Companions& companions,
                             Instant now);
/// Of a depth of conventional water that a submerged sensor reports.
Corrected corrected_depth(Metres reported, const Correction& correction, const Companions& companions,
                          Instant now);

}  // namespace stillwell
