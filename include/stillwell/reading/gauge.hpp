#pragma once
// One gauge: from what it sent to a level that may be believed, or the reason why not. Pure: the same samples
// at the same instants give the same levels.
//
// A reading passes these checks in turn, and the first that it fails gives the reason:
//   it came            no-answer, bad-frame
//   the sensor sees it blanking, beyond-reach
//   the tank has it    outside-span
//   it is no spike     jump          (reading/hampel.hpp)
//   water can be there jump          (reading/motion.hpp)
//   it moves           frozen        (reading/frozen.hpp)
//   it is a surface    noisy         (reading/noise.hpp)
//   it is one of a row starting
// A reading that did not come, and one that is a spike or a jump, only ages the last accepted one: it counts
// for `stale_after` more, and no longer. What shows that the sensor itself is wrong (it cannot see, it stands
// still, it sees no surface) speaks at once.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/correction.hpp"
#include "stillwell/reading/frozen.hpp"
#include "stillwell/reading/hampel.hpp"
#include "stillwell/reading/level.hpp"
#include "stillwell/reading/motion.hpp"
#include "stillwell/reading/noise.hpp"
#include "stillwell/reading/quality.hpp"
#include "stillwell/reading/sample.hpp"

#include <optional>

namespace stillwell {

/// What the sensor's number means.
enum class Measures : std::uint8_t {
  distance,  ///< from its face down to the water
  depth,     ///< of the water above it
};

/// How a true surface behaves in this tank. A check whose setting is zero is not made.
struct Settle {
  int spikes = 0;            ///< readings in the window that finds spikes
  Metres spike_floor{0.0};   ///< deviation from their median that is never a spike
  Metres noise{0.0};         ///< a true reading is wrong by no more than this
  Metres frozen_after{0.0};  ///< so far the water must have moved while the gauge stood still
  Duration lag{};            ///< by which the window's median follows the water

  /// Of the running median: that of the spikes, and a usual one where they are not looked for.
  [[nodiscard]] int window() const { return spikes > 0 ? spikes : 7; }
};

struct GaugeRules {
  Measures measures = Measures::distance;
  Metres blanking{0.0};         ///< a distance nearer than this cannot be seen
  std::optional<Metres> reach;  ///< a distance (or depth) farther than this cannot be seen
  std::optional<Degrees>
      beam;                ///< whole angle of what it looks through; drawn and checked, not reckoned with
  Duration stale_after{};  ///< the oldest accepted reading that still counts
  int recover_after = 3;   ///< readings in a row that must pass after a fault before one is accepted
  Correction correction;
  Settle settle;
};

/// How the gauge sits in its tank. All along the vertical.
struct Mounting {
  Metres to_floor{};  ///< distance gauges: face to floor. Depth gauges: minus the sensor's height above the
                      ///< floor
  Metres to_full{};   ///< distance gauges: face to the full line
  Metres full{};      ///< level of the full line above the floor
  Metres margin{};    ///< how far outside floor..full a level is still physically possible
  Metres lowest{};    ///< level below which the gauge tells no difference
};

/// What pumps, pipes and people can do to the water just now.
struct WaterMotion {
  std::optional<Fastest> fastest;  ///< empty: nobody knows, and no jump is found
  MetresPerSecond at_least{};      ///< up positive; zero: nothing must move it
};

struct GaugeMemory {
  std::optional<Instant> newest;   ///< the newest sample already judged
  std::optional<Seen> shown;       ///< the newest level that the tank can have, believed or not
  std::optional<Metres> accepted;  ///< last accepted level, kept for display after it went bad
  std::optional<Instant> accepted_at;
  Metres doubt{};                   ///< of the accepted level
  bool is_corrected = true;         ///< nothing was lacking for it
  Reason fault = Reason::starting;  ///< why the newest sample was not accepted; none if it was
  int good_in_row = 0;
  bool trusted = false;  ///< the run of good readings is long enough
  Companions companions;
  std::optional<Hampel> spikes;
  Metres median{};         ///< of its window
  bool jumped = false;     ///< the newest sample is a level that the water cannot have reached
  MotionMemory motion;     ///< from the last level that was accepted
  MotionMemory run;        ///< of the readings after a fault, or of a plateau, that are not accepted yet
  int refused_in_row = 0;  ///< jumps, each reachable from the one before
  FrozenMemory frozen;
  std::optional<Noise> noise;
};

/// The checks that need no other reading: blanking and reach of what the sensor reported, span of what it
/// means. none when it may be believed.
Reason judge(Metres reported, Metres corrected, const GaugeRules& rules, const Mounting& mounting);

/// The level that a reading stands for.
Metres to_level(Metres value, const GaugeRules& rules, const Mounting& mounting);

/// Takes the newest sample into account (once, however often it is shown) and says what the gauge is worth
/// now.
Level follow(GaugeMemory& memory, const GaugeSample& sample, const GaugeRules& rules,
             const Mounting& mounting, const WaterMotion& water, Instant now);

/// The gauge shows a level that no water can have reached, and goes on showing it (rule 4).
bool has_jumped(const GaugeMemory& memory);
/// Jumped or frozen: it shows a level that the tank can have, and a person may say that it is right.
bool waits_for_confirmation(const GaugeMemory& memory);
/// The level that it shows since it jumped, once that has stood for as many readings as are needed after a
/// fault. What still moves faster than water can is no plateau: its confirmation would be out of date with
/// the next reading.
std::optional<Metres> plateau(const GaugeMemory& memory, const GaugeRules& rules);
/// Another gauge, a float or a person says that it is. The run of good readings begins with the next one.
void confirm(GaugeMemory& memory);

}  // namespace stillwell
