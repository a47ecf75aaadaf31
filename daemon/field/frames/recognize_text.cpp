#include "stillwell/field/frames/recognize_text.hpp"

#include "stillwell/field/frames/pattern.hpp"

#include <algorithm>
#include <array>

namespace stillwell::field {
namespace {

constexpr double kShareOfLines = 0.8;

bool is_numeral(char c) {
  return c >= '0' && c <= '9';
}

std::string escaped(std::string_view literal) {
  constexpr std::string_view kNeedEscape = ".*+?[]{}|^$()\\";
  std::string text;
  for (const char c : literal) {
    if (kNeedEscape.find(c) != kNeedEscape.npos) text += '\\';
    text += c;
  }
  return text;
}

/// A run of digits in a line.
struct Digits {
  std::size_t from = 0;
  std::size_t to = 0;
};

std::vector<Digits> digits_in(std::string_view line) {
  std::vector<Digits> runs;
  for (std::size_t at = 0; at < line.size(); ++at) {
    if (!is_numeral(line[at])) continue;
    if (runs.empty() || runs.back().to != at) runs.push_back({at, at});
    runs.back().to = at + 1;
  }
  return runs;
}

/// The number goes on behind, or came from before, a point or a comma.
bool is_part_of_decimal(std::string_view line, const Digits& run) {
  const auto is_point = [](char c) { return c == '.' || c == ','; };
  const bool before = run.from >= 2 && is_point(line[run.from - 1]) && is_numeral(line[run.from - 2]);
  const bool behind = run.to + 1 < line.size() && is_point(line[run.to]) && is_numeral(line[run.to + 1]);
  return before || behind;
}

/// What stands between these ends of a line, if it is digits alone.
std::optional<std::string_view> between(std::string_view line, std::string_view before,
                                        std::string_view behind) {
  if (line.size() <= before.size() + behind.size()) return {};
  if (!line.starts_with(before) || !line.ends_with(behind)) return {};
  const auto middle = line.substr(before.size(), line.size() - before.size() - behind.size());
  if (!std::all_of(middle.begin(), middle.end(), is_numeral)) return {};
  return middle;
}

struct Fit {
  std::size_t lines = 0;
  bool varies = false;
  bool padded = false;  ///< zeros in front, and all of one width: the width belongs to the pattern
  std::size_t width = 0;
};

Fit fit_of(std::span<const std::string> lines, std::string_view before, std::string_view behind) {
  Fit fit;
  bool one_width = true;
  bool zeros = false;
  std::string_view first;
  for (const std::string& line : lines) {
    const auto middle = between(line, before, behind);
    if (!middle) continue;
    if (fit.lines++ == 0) first = *middle;
    fit.varies = fit.varies || *middle != first;
    one_width = one_width && middle->size() == first.size();
    zeros = zeros || (middle->front() == '0' && middle->size() > 1);
  }
  fit.width = first.size();
  fit.padded = one_width && zeros && fit.width <= static_cast<std::size_t>(kMostDigits);
  return fit;
}

/// Better than the one before: it reads more lines, or as many and moves, or is the longer number.
bool is_better(const Fit& fit, const Fit& than) {
  return std::array<std::size_t, 3>{fit.lines, fit.varies ? 1U : 0U, fit.width} >
         std::array<std::size_t, 3>{than.lines, than.varies ? 1U : 0U, than.width};
}

}  // namespace

std::vector<std::string> whole_lines(std::span<const std::uint8_t> bytes) {
  std::vector<std::string> lines;
  std::string line;
  bool from_start = false;
  for (const std::uint8_t byte : bytes) {
    if (byte == '\r' || byte == '\n') {
      if (from_start && !line.empty()) lines.push_back(line);
      from_start = true;
      line.clear();
    } else if (byte >= ' ' && byte <= '~') {
      line += static_cast<char>(byte);
    } else {
      return {};
    }
  }
  return lines;
}

std::optional<std::string> pattern_of(std::span<const std::string> lines) {
  std::optional<std::string> best;
  Fit best_fit;
  for (const std::string& line : lines) {
    for (const Digits& run : digits_in(line)) {
      const std::string_view before = std::string_view{line}.substr(0, run.from);
      const std::string_view behind = std::string_view{line}.substr(run.to);
      if (is_part_of_decimal(line, run)) continue;
      const Fit fit = fit_of(lines, before, behind);
      if (!is_better(fit, best_fit)) continue;
      best_fit = fit;
      best = escaped(before) + (fit.padded ? "(\\d{" + std::to_string(fit.width) + "})" : "(\\d+)") +
             escaped(behind);
    }
  }
  if (!best || static_cast<double>(best_fit.lines) < kShareOfLines * static_cast<double>(lines.size()))
    return {};
  if (!LinePattern::make(*best)) return {};
  return best;
}

}  // namespace stillwell::field
