#include "stillwell/reading/soundings.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/reading/median.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

constexpr double kOutlierSigmas = 3.0;  // as of the filter for spikes (reading/hampel.hpp)
/// Fewer points fit a line by chance.
constexpr std::size_t kFewestForDrift = 8;
/// More outliers than one in so many are no accidents (common practice, no source).
constexpr std::size_t kOneOutlierIn = 10;
/// Of the soundings that were due so many must have come: three of four (common practice, no source).
constexpr double kShareNeeded = 0.75;

std::vector<double> values_of(std::span<const Sounding> soundings) {
  std::vector<double> values;
  values.reserve(soundings.size());
  for (const Sounding& one : soundings)
    values.push_back(one.value.value());
  return values;
}

/// Places in a gap where a sounding was due: half a period early or late is none missed.
std::size_t missed_in(Duration gap, Duration every) {
  const auto periods = std::llround(seconds_of(gap) / seconds_of(every));
  return periods > 1 ? static_cast<std::size_t>(periods - 1) : 0;
}

std::size_t missed_of(std::span<const Sounding> soundings, const SoundingRun& run) {
  if (run.every <= Duration{0}) return 0;
  if (soundings.empty()) {
    const auto due =
        static_cast<std::size_t>(std::max<Duration::rep>((run.ended - run.begun) / run.every, 0));
    return std::max<std::size_t>(due, 1);
  }
  std::size_t missed = 0;
  Instant before = run.begun;
  for (const Sounding& one : soundings) {
    missed += missed_in(one.at - before, run.every);
    before = one.at;
  }
  return missed + missed_in(run.ended - before, run.every);
}

/// Those that belong, in the order they came.
std::vector<Sounding> without_outliers(std::span<const Sounding> soundings, Metres median) {
  auto distances = values_of(soundings);
  const double deviation = std::max(median_deviation(distances, median.value()), kSoundingCount.value());
  const double limit = kOutlierSigmas * kSigmasPerMad * deviation;
  std::vector<Sounding> kept;
  for (const Sounding& one : soundings)
    if (std::abs(one.value.value() - median.value()) <= limit) kept.push_back(one);
  return kept;
}

double mean_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values)
    sum += value;
  return sum / static_cast<double>(values.size());
}

double deviation_of(const std::vector<double>& values, double mean) {
  if (values.size() < 2) return 0.0;
  double squares = 0.0;
  for (const double value : values)
    squares += (value - mean) * (value - mean);
  return std::sqrt(squares / static_cast<double>(values.size() - 1));
}

/// The least step between readings that differ: what the sensor counts in, or less than it.
double least_step(const std::vector<Metres>& by_size) {
  double least = 0.0;
  for (std::size_t at = 1; at < by_size.size(); ++at) {
    const double step = by_size[at].value() - by_size[at - 1].value();
    if (step > 0.0 && (least == 0.0 || step < least)) least = step;
  }
  return least;
}

struct FittedSlope {
  double slope = 0.0;
  double half_width = 0.0;
  double scatter = 0.0;  ///< about the line
};

/// The line of least squares about the centre of the points, for any number of them. Empty when all stand at
/// one time.
std::optional<FittedSlope> fit_slope(const std::vector<Sounding>& points) {
  const Instant first = points.front().at;
  std::vector<double> times;
  times.reserve(points.size());
  for (const Sounding& one : points)
    times.push_back(seconds_of(one.at - first));
  const auto values = values_of(points);
  const double middle = mean_of(times);
  const double mean = mean_of(values);
  double across = 0.0;
  double along = 0.0;
  for (std::size_t at = 0; at < points.size(); ++at) {
    across += (times[at] - middle) * (values[at] - mean);
    along += (times[at] - middle) * (times[at] - middle);
  }
  if (!(along > 0.0)) return {};
  const double slope = across / along;
  double rest = 0.0;
  for (std::size_t at = 0; at < points.size(); ++at) {
    const double off = values[at] - mean - slope * (times[at] - middle);
    rest += off * off;
  }
  const std::size_t freedom = points.size() - 2;
  const double scatter = std::sqrt(rest / static_cast<double>(freedom));
  return FittedSlope{slope, student_95(freedom) * scatter / std::sqrt(along), scatter};
}

/// Told only when the interval leaves zero out, and when it is more than two counts: one step from a count to
/// the next, in the middle of a run, fits a change of one and a half.
std::optional<Drift> drift_of(const std::vector<Sounding>& kept, const std::vector<Metres>& by_size) {
  if (kept.size() < kFewestForDrift) return {};
  const auto line = fit_slope(kept);
  if (!line || !(std::abs(line->slope) > line->half_width)) return {};
  const double over_run = line->slope * seconds_of(kept.back().at - kept.front().at);
  if (!(std::abs(over_run) > 2.0 * least_step(by_size))) return {};
  return Drift{.slope = MetresPerSecond{line->slope},
               .half_width = MetresPerSecond{line->half_width},
               .over_run = Metres{over_run},
               .scatter = Metres{line->scatter}};
}

std::string millimetres(Metres value) {
  return fixed(value.value() * 1000.0, 1) + " mm";
}

}  // namespace

double student_95(std::size_t freedom) {
  constexpr double kNormal = 1.959963984540054;
  const auto n = static_cast<double>(std::max<std::size_t>(freedom, 1));
  const double x = kNormal;
  const double x3 = x * x * x;
  const double x5 = x3 * x * x;
  const double x7 = x5 * x * x;
  const double x9 = x7 * x * x;
  return x + (x3 + x) / (4.0 * n) + (5.0 * x5 + 16.0 * x3 + 3.0 * x) / (96.0 * n * n) +
         (3.0 * x7 + 19.0 * x5 + 17.0 * x3 - 15.0 * x) / (384.0 * n * n * n) +
         (79.0 * x9 + 776.0 * x7 + 1482.0 * x5 - 1920.0 * x3 - 945.0 * x) / (92160.0 * n * n * n * n);
}

SoundingFigures figures_of(std::span<const Sounding> soundings, const SoundingRun& run) {
  SoundingFigures figures;
  figures.count = soundings.size();
  figures.missed = missed_of(soundings, run);
  if (soundings.empty()) return figures;
  auto values = values_of(soundings);
  const auto [lowest, highest] = std::minmax_element(values.begin(), values.end());
  figures.lowest = Metres{*lowest};
  figures.highest = Metres{*highest};
  figures.median = Metres{median(values)};
  const auto kept = without_outliers(soundings, figures.median);
  figures.outliers = figures.count - kept.size();
  const auto belonging = values_of(kept);
  figures.mean = Metres{mean_of(belonging)};
  figures.spread = Metres{deviation_of(belonging, figures.mean.value())};
  for (const double value : belonging)
    figures.kept.emplace_back(value);
  std::sort(figures.kept.begin(), figures.kept.end());
  figures.drift = drift_of(kept, figures.kept);
  return figures;
}

std::vector<std::string> unsteady(const SoundingFigures& figures, Metres noise) {
  std::vector<std::string> why;
  if (figures.outliers * kOneOutlierIn > figures.count)
    why.push_back(std::to_string(figures.outliers) + " of " + std::to_string(figures.count) +
                  " soundings lie far from the others");
  // Of water that moves the movement is no scatter.
  const Metres scatter = figures.drift ? figures.drift->scatter : figures.spread;
  if (noise > Metres{0.0} && scatter > noise)
    why.push_back("they scatter by " + millimetres(scatter) + ", more than the " + millimetres(noise) +
                  " that settle.noise allows");
  if (figures.drift && std::abs(figures.drift->over_run.value()) > kTapeMark.value())
    why.push_back("they moved by " + millimetres(figures.drift->over_run) + " during the run");
  return why;
}

std::vector<std::string> insufficient(const SoundingFigures& figures) {
  std::vector<std::string> why;
  const std::size_t belong = figures.kept.size();
  if (belong < kFewestSoundings)
    why.push_back("only " + std::to_string(belong) + " soundings belong together, and " +
                  std::to_string(kFewestSoundings) + " are needed");
  const auto due = static_cast<double>(figures.count + figures.missed);
  if (static_cast<double>(figures.count) < kShareNeeded * due)
    why.push_back(std::to_string(figures.missed) + " soundings were missed, and only " +
                  std::to_string(figures.count) + " came");
  return why;
}

}  // namespace stillwell
