#pragma once
// How much water a run of a pump moved, by what it did to the contents of its tank: of a fill pump the tank
// it fills, of a drain pump the tank it empties. Nameplates do not wear, so wear (tank/wear.hpp) rests on
// this.
//
// The tank does not stand still meanwhile: the house draws, the sump is fed. What went on in it just before
// the run is taken to go on through it, and is left out; a tank that nobody watched before the run tells
// nothing of the run. On a single run that is a guess. Over the ten hours of a stretch of wear the guesses
// are off to both sides.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

#include <optional>

namespace stillwell {

/// A pump and its tank as one scan sees them.
struct RunSight {
  Instant at{};
  std::optional<Litres> contents;  ///< of its tank; empty while the level is not usable
  std::optional<bool> runs;        ///< since the sight before; empty while nobody knows
  bool alone = true;               ///< no other pump moves water in that tank, and that is known
};

struct RunMoved {
  Litres gained{};  ///< by the tank, beyond what went on in it anyway; negative when the pump empties it
  Duration ran{0};
};

class RunVolume {
 public:
  /// Of this much standing before a run, at least, and twice as much at most, the mean is what goes on in the
  /// tank. Long against the noise of a level; short against the habits of a house. Common practice, no
  /// source.
  static constexpr Duration kBefore = std::chrono::minutes{10};
  /// A shorter run is mostly the delay with which contact and level are seen. Common practice, no source.
  static constexpr Duration kShortest = std::chrono::minutes{1};

  /// A run when it has ended and is known from end to end: the readings good, the pump alone, and standing
  /// long enough before.
  std::optional<RunMoved> step(const RunSight& sight);

 private:
  struct Mark {
    Instant at{};
    Litres contents{};
  };
  void begin();
  std::optional<RunMoved> end();
  void stand(const Mark& now);

  std::optional<Mark> last_;      ///< the sight before
  bool ran_ = false;              ///< up to it
  std::optional<Mark> standing_;  ///< since kBefore to twice kBefore; while running, empty
  std::optional<Mark> newer_;     ///< takes the place of standing_ once that is old
  std::optional<Mark> began_;     ///< the run
  LitresPerSecond anyway_{};      ///< what went on before it
};

}  // namespace stillwell
