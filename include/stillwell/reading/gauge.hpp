#pragma once
// One gauge: from what it sent to a level that may be believed, or the reason why not. Pure: the same samples
// at the same instants give the same levels.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/quality.hpp"
#include "stillwell/reading/sample.hpp"

#include <optional>

namespace stillwell {

/// What the sensor's number means.
enum class Measures : std::uint8_t {
  distance,  ///< from its face down to the water
  depth,     ///< of the water above it
};

struct GaugeRules {
  Measures measures = Measures::distance;
  Metres blanking{0.0};         ///< a distance nearer than this cannot be seen
  std::optional<Metres> reach;  ///< a distance (or depth) farther than this cannot be seen
  Duration stale_after{};       ///< the oldest accepted reading that still counts
  int recover_after = 3;        ///< readings in a row that must pass after a fault before one is accepted
};

/// How the gauge sits in its tank. All along the vertical.
struct Mounting {
  Metres to_floor{};  ///< distance gauges: face to floor. Depth gauges: minus the sensor's height above the
                      ///< floor
  Metres to_full{};   ///< distance gauges: face to the full line
  Metres full{};      ///< level of the full line above the floor
  Metres margin{};    ///< how far outside floor..full a level is still physically possible
};

/// A level with its quality. Bad carries no level, so that none can be used by accident.
struct Level {
  std::optional<Metres> level;
  Metres uncertainty{0.0};  ///< half width, one side
  Quality quality = Quality::bad;
  Reason reason = Reason::starting;
  Instant at{};  ///< of the last accepted reading; meaningless before the first

  /// Whether a decision may rest on it. A level or a half width that is no number loses here too.
  [[nodiscard]] bool usable() const {
    return quality != Quality::bad && level.has_value() && lowest() <= highest();
  }
  /// The edges that decisions use (rule 2). Only when usable().
  [[nodiscard]] Metres lowest() const { return *level - uncertainty; }
  [[nodiscard]] Metres highest() const { return *level + uncertainty; }

  static Level bad(Reason reason, Instant at) { return {{}, Metres{0.0}, Quality::bad, reason, at}; }
};

struct GaugeMemory {
  std::optional<Instant> newest;   ///< the newest sample already judged
  std::optional<Metres> accepted;  ///< last accepted level, kept for display after it went bad
  std::optional<Instant> accepted_at;
  Reason fault = Reason::starting;  ///< why the newest sample was not accepted; none if it was
  int good_in_row = 0;
  bool trusted = false;  ///< the run of good readings is long enough
};

/// The checks a single reading must pass: blanking, reach, span. none when it may be believed.
Reason judge(Metres value, const GaugeRules& rules, const Mounting& mounting);

/// The level that a reading stands for.
Metres to_level(Metres value, const GaugeRules& rules, const Mounting& mounting);

/// Takes the newest sample into account (once, however often it is shown) and says what the gauge is worth
/// now.
Level follow(GaugeMemory& memory, const GaugeSample& sample, const GaugeRules& rules,
             const Mounting& mounting, Instant now);

}  // namespace stillwell
