#include "stillwell/reading/combine.hpp"

#include "stillwell/reading/median.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace stillwell {
namespace {

/// Levels that count, on the stack.
struct Few {
  std::array<double, kMostGauges> metres{};
  std::size_t count = 0;

  void add(Metres level) { metres[count++] = level.value(); }
  [[nodiscard]] std::span<const double> all() const { return {metres.data(), count}; }
};

double median_of(Few few) {
  return median({few.metres.data(), few.count});
}

double mean_of(const Few& few) {
  const auto all = few.all();
  return std::accumulate(all.begin(), all.end(), 0.0) / static_cast<double>(all.size());
}

Instant newest_of(std::span<const Level> levels) {
  Instant newest{};
  for (const Level& level : levels)
    newest = std::max(newest, level.at);
  return newest;
}

Few usable_of(std::span<const Level> levels) {
  Few usable;
  for (const Level& level : levels) {
    if (level.usable()) usable.add(*level.level);
  }
  return usable;
}

/// Of two, the median lies halfway: what is half as far from it is as far from the other.
bool agrees(Metres level, const Few& usable, Metres disagree) {
  const Metres limit = usable.count == 2 ? disagree * 0.5 : disagree;
  return std::abs(level.value() - median_of(usable)) <= limit.value();
}

}  // namespace

Level combine(std::span<const Level> all, const CombineRules& rules) {
  const auto levels = all.first(std::min(all.size(), kMostGauges));
  if (levels.empty()) return Level::bad(Reason::starting, {});
  if (levels.size() == 1) return levels.front();
  const Few usable = usable_of(levels);
  if (usable.count == 0) return Level::bad(levels.front().reason, newest_of(levels));

  Level combined{.quality = Quality::good, .reason = Reason::none, .at = Instant::max()};
  const auto doubt = [&](Reason reason) {
    combined.quality = Quality::uncertain;
    // That they contradict each other is never hidden behind what ails one of them.
    if (combined.reason == Reason::none || reason == Reason::disagree) combined.reason = reason;
  };
  Few kept;
  for (const Level& level : levels) {
    if (!level.usable() || !agrees(*level.level, usable, rules.disagree)) {
      doubt(level.usable() ? Reason::disagree : level.reason);
      continue;
    }
    if (level.quality == Quality::uncertain) doubt(level.reason);
    kept.add(*level.level);
    combined.uncertainty = std::max(combined.uncertainty, level.uncertainty);
    combined.at = std::min(combined.at, level.at);
  }
  if (kept.count == 0 || (usable.count > 1 && kept.count < 2))
    return Level::bad(Reason::disagree, newest_of(levels));
  if (kept.count > 1) combined.agreeing = kept.count;
  combined.level = Metres{rules.how == Combine::mean ? mean_of(kept) : median_of(kept)};
  return combined;
}

}  // namespace stillwell
