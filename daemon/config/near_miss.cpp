#include "stillwell/config/near_miss.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

/// A third of the word may be wrong, but one letter always may.
std::size_t tolerance(std::string_view word) {
  return std::max<std::size_t>(1, word.size() / 3);
}

constexpr std::size_t kLongestWord = 64;  // longer ones are no typing mistakes

std::string joined(std::span<const std::string_view> words) {
  std::string text;
  for (const std::string_view word : words)
    text += (text.empty() ? "" : ", ") + std::string(word);
  return text;
}

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::vector<std::size_t>> cost(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i)
    cost[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j)
    cost[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replaced = cost[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      cost[i][j] = std::min({cost[i - 1][j] + 1, cost[i][j - 1] + 1, replaced});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) cost[i][j] = std::min(cost[i][j], cost[i - 2][j - 2] + 1);
    }
  }
  return cost[a.size()][b.size()];
}

std::optional<std::string_view> nearest(std::string_view word, std::span<const std::string_view> candidates) {
  if (word.size() > kLongestWord) return {};
  std::optional<std::string_view> best;
  std::size_t least = tolerance(word) + 1;
  for (const std::string_view candidate : candidates) {
    if (candidate.size() > kLongestWord) continue;
    const std::size_t distance = edit_distance(word, candidate);
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}

std::string suggestion(std::string_view word, std::span<const std::string_view> candidates) {
  if (const auto meant = nearest(word, candidates)) return "did you mean '" + std::string(*meant) + "'?";
  if (candidates.empty()) return "there is none to choose from";
  return "expected one of: " + joined(candidates);
}

}  // namespace stillwell::config
