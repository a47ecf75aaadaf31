#include "stillwell/report/histogram.hpp"

#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::report {
namespace {

constexpr std::size_t kLeastColumns = 40;
constexpr double kFinestBin = 0.0001;  // m

/// A width of 1, 2 or 5 times a power of ten.
struct RoundWidth {
  double metres = kFinestBin;
  int decimals = 4;  ///< of a label
};

RoundWidth next_wider(RoundWidth width, int step) {
  const double by = step % 3 == 1 ? 2.5 : 2.0;  // 1, 2, 5, 10
  width.metres *= by;
  if (step % 3 == 2) width.decimals = std::max(width.decimals - 1, 0);
  return width;
}

long place_of(double value, double width) {
  return std::lround(value / width);
}

double least_gap(std::span<const Metres> by_size) {
  double least = 0.0;
  for (std::size_t at = 1; at < by_size.size(); ++at) {
    const double gap = by_size[at].value() - by_size[at - 1].value();
    if (gap > 0.0 && (least == 0.0 || gap < least)) least = gap;
  }
  return least;
}

RoundWidth width_for(std::span<const Metres> by_size) {
  constexpr double kHair = 1.0 - 1e-6;  // a gap of a millimetre is not always quite one
  constexpr int kMostSteps = 30;
  const double least = by_size.front() == by_size.back() ? 0.001 : least_gap(by_size) * kHair;
  const auto bins = [&](double width) {
    return place_of(by_size.back().value(), width) - place_of(by_size.front().value(), width) + 1;
  };
  RoundWidth width;
  for (int step = 0; step < kMostSteps; ++step) {
    if (width.metres >= least && bins(width.metres) <= static_cast<long>(kMostBins)) break;
    width = next_wider(width, step);
  }
  return width;
}

std::string repeated(std::string_view sign, std::size_t times) {
  std::string text;
  for (std::size_t n = 0; n < times; ++n)
    text += sign;
  return text;
}

}  // namespace

std::vector<std::string> histogram(std::span<const Metres> by_size, const HistogramStyle& style) {
  if (by_size.empty()) return {};
  const RoundWidth width = width_for(by_size);
  const long first = place_of(by_size.front().value(), width.metres);
  const long last = place_of(by_size.back().value(), width.metres);
  std::vector<std::size_t> counts(static_cast<std::size_t>(last - first + 1), 0);
  for (const Metres value : by_size)
    ++counts.at(static_cast<std::size_t>(place_of(value.value(), width.metres) - first));
  const std::size_t most = *std::max_element(counts.begin(), counts.end());
  std::vector<std::string> rows;
  for (std::size_t at = 0; at < counts.size(); ++at) {
    const double centre = static_cast<double>(first + static_cast<long>(at)) * width.metres;
    std::string label = fixed(centre, width.decimals) + " m ";
    label.insert(0, label.size() < 13 ? 13 - label.size() : 0, ' ');
    const std::string tail = " " + std::to_string(counts[at]);
    const std::size_t columns = std::max(style.columns, kLeastColumns);
    const std::size_t room = columns - label.size() - std::to_string(most).size() - 1;
    // What is there at all is seen.
    const std::size_t bar = counts[at] == 0 ? 0 : std::max<std::size_t>(counts[at] * room / most, 1);
    rows.push_back(label.append(repeated(style.unicode ? "█" : "#", bar)).append(tail));
  }
  return rows;
}

}  // namespace stillwell::report
