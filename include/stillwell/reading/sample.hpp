#pragma once
// What the wires delivered, before anybody decides whether to believe it. A sample that failed carries the
// reason instead of a value; `at` is the instant at which the answer was complete (or given up).

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/contact.hpp"
#include "stillwell/reading/quality.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace stillwell {

struct GaugeSample {
  Instant at{};
  std::optional<Metres> value;  ///< a distance, or a depth of conventional water, as the gauge's rules say
  // Companion readings, where the sensor or its neighbour has them.
  std::optional<Celsius> air;
  std::optional<Percent> humidity;  ///< relative, of the air above the water
  std::optional<Celsius> water;
  Reason fault = Reason::starting;  ///< none with a value; no_answer or bad_frame without
};

struct SwitchSample {
  Instant at{};
  std::optional<bool> closed;  ///< the bit as the module reported it, before active-low
  Reason fault = Reason::starting;
};

struct MeterSample {
  Instant at{};
  std::optional<double> value;  ///< in watts or amperes, as the meter measures
  Reason fault = Reason::starting;
};

/// A line's own health, for status and alarms.
struct LineSample {
  bool open = false;
  std::uint64_t answered = 0;
  std::uint64_t failed = 0;
  std::string trouble{};  ///< why it is not open, in words for a person; empty when it is
};

/// The newest of everything, in the order of the configuration's lists.
struct Readings {
  std::vector<GaugeSample> gauges;
  std::vector<SwitchSample> switches;
  std::vector<MeterSample> meters;
  std::vector<ContactSample> contacts;
  std::vector<LineSample> lines;
};

}  // namespace stillwell
