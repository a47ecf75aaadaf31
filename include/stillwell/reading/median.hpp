#pragma once
// The middle of a few numbers, without an allocation.

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>

namespace stillwell {

/// A median absolute deviation times this is the standard deviation of a normal spread (exactly 1.482602…;
/// four decimals are what the Hampel filter's definition uses).
inline constexpr double kSigmasPerMad = 1.4826;

/// The median; of an even count the mean of the middle two. Reorders the numbers. They must be one or more
/// and none of them NaN.
inline double median(std::span<double> numbers) {
  const auto middle = numbers.begin() + static_cast<std::ptrdiff_t>(numbers.size() / 2);
  std::nth_element(numbers.begin(), middle, numbers.end());
  if (numbers.size() % 2 == 1) return *middle;
  return (*std::max_element(numbers.begin(), middle) + *middle) / 2.0;
}

/// The median of the distances from `centre`. Overwrites the numbers with those distances.
inline double median_deviation(std::span<double> numbers, double centre) {
  for (double& number : numbers)
    number = std::abs(number - centre);
  return median(numbers);
}

}  // namespace stillwell
