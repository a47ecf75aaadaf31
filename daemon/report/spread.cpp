#include "stillwell/report/spread.hpp"

#include <algorithm>
#include <cstddef>

namespace stillwell::report {
namespace {

/// Neighbours that touch each other and move as one.
struct Pool {
  double sum = 0.0;
  std::size_t count = 0;

  [[nodiscard]] double mean() const { return sum / static_cast<double>(count); }
};

}  // namespace

/// Less its own gaps each label must be no farther than the next: the nearest ascending sequence, which
/// pooling neighbours that violate the order finds exactly (Ayer et al., Ann. Math. Statist. 26, 641-647,
/// 1955). Holding that sequence within limits keeps it the nearest.
std::vector<double> spread(const std::vector<double>& wanted, const SpreadLimits& limits) {
  std::vector<Pool> pools;
  for (std::size_t at = 0; at < wanted.size(); ++at) {
    pools.push_back({wanted[at] - limits.gap * static_cast<double>(at), 1});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
      const Pool last = pools.back();
      pools.pop_back();
      pools.back().sum += last.sum;
      pools.back().count += last.count;
    }
  }
  const double taken = wanted.empty() ? 0.0 : limits.gap * static_cast<double>(wanted.size() - 1);
  const double latest = std::max(limits.high - taken, limits.low);
  std::vector<double> places;
  for (const Pool& pool : pools)
    for (std::size_t member = 0; member < pool.count; ++member)
      places.push_back(std::clamp(pool.mean(), limits.low, latest) +
                       limits.gap * static_cast<double>(places.size()));
  return places;
}

}  // namespace stillwell::report
