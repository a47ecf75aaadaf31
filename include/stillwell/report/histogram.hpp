#pragma once
// How readings are spread, as a few rows of text. Pure.

#include "stillwell/quantity/quantity.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace stillwell::report {

struct HistogramStyle {
  std::size_t columns = 80;
  bool unicode = false;
};

/// Readings by size, one row a step of a round width, at most kMostBins: "   1.953 m ████ 12". The width is
/// never finer than the least step between two readings, or a sensor that counts in millimetres would show
/// gaps. No reading, no row; no row is wider than the columns, which are 40 at least.
std::vector<std::string> histogram(std::span<const Metres> by_size, const HistogramStyle& style);

inline constexpr std::size_t kMostBins = 12;

}  // namespace stillwell::report
