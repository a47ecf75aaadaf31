#pragma once
// Labels along one side of a drawing, each as near as can be to what it names, and none upon another.

#include <vector>

namespace stillwell::report {

struct SpreadLimits {
  double gap = 0.0;   ///< from one to the next at least
  double low = 0.0;   ///< none before
  double high = 0.0;  ///< none after; where they do not all fit, those at the end go beyond
};

/// Where labels go that want to be at these places, in ascending order: in the same order, with the least sum
/// of squared displacements.
std::vector<double> spread(const std::vector<double>& wanted, const SpreadLimits& limits);

}  // namespace stillwell::report
