#pragma once
// What a run of soundings says of a gauge: how many came, how far they scatter, which do not belong, whether
// they wander. For a person who puts a gauge into use; the daemon judges reading by reading
// (reading/gauge.hpp). Pure.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace stillwell {

/// A reading that came.
struct Sounding {
  Instant at{};
  Metres value{};
};

/// When soundings were taken, and how often one was due.
struct SoundingRun {
  Instant begun{};
  Instant ended{};
  Duration every{};
};

/// How the readings wander, by least squares.
struct Drift {
  MetresPerSecond slope{};
  MetresPerSecond half_width{};  ///< of the two-sided 95 % interval
  Metres over_run{};             ///< from the first sounding to the last
  Metres scatter{};              ///< standard deviation about the line
};

struct SoundingFigures {
  std::size_t count = 0;         ///< soundings that came
  std::size_t missed = 0;        ///< places in time where one was due and none came
  std::size_t outliers = 0;      ///< farther than 3 · 1.4826 · MAD from the median
  Metres median{};               ///< of all; like the next two absurd without a sounding
  Metres lowest{};               ///< of all
  Metres highest{};              ///< of all
  Metres mean{};                 ///< of those that are no outliers
  Metres spread{};               ///< their standard deviation; zero of a single one
  std::optional<Drift> drift{};  ///< absent when nothing tells it from noise
  std::vector<Metres> kept{};    ///< those that are no outliers, by size
};

/// A median absolute deviation below this is taken as this: most such sensors count in millimetres, and of
/// readings that are all but one the same the one would be an outlier by a hair (common practice, no source).
inline constexpr Metres kSoundingCount{0.001};

/// Soundings in the order they came, none but finite ones.
SoundingFigures figures_of(std::span<const Sounding> soundings, const SoundingRun& run);

/// Fewer soundings that belong than this are no ground for a distance that goes into a configuration (common
/// practice, no source).
inline constexpr std::size_t kFewestSoundings = 10;
/// As well as a tape is read (common practice, no source): what wanders less, stands still.
inline constexpr Metres kTapeMark{0.002};

/// Why the readings are no steady surface, in words for a person, each a clause; empty when they are.
/// `noise`: the scatter that the tank's settings allow; zero: not judged.
std::vector<std::string> unsteady(const SoundingFigures& figures, Metres noise);
/// Why they are too few for a proposal, likewise.
std::vector<std::string> insufficient(const SoundingFigures& figures);

/// Two-sided 95 % point of Student's t, to a part in five hundred from 3 degrees of freedom on (Abramowitz
/// M., Stegun I.A., Handbook of Mathematical Functions, 26.7.5).
double student_95(std::size_t freedom);

}  // namespace stillwell
