#pragma once
// Several gauges on one tank (rule 3). Two that are farther apart than `disagree` make the tank bad: nobody
// can say which is well. Of three or more, those outside `disagree` of their median are dropped, as long as
// two agree.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/reading/level.hpp"

#include <cstdint>
#include <span>

namespace stillwell {

enum class Combine : std::uint8_t { mean, median };

struct CombineRules {
  Combine how = Combine::median;
  Metres disagree{};
};

/// The most gauges that one tank may have.
inline constexpr std::size_t kMostGauges = 8;

/// One gauge speaks for itself. A gauge that is bad or was dropped makes the others uncertain: they still say
/// where the water is, but one of them is missing when the next one fails. The half width is that of the
/// widest gauge that counts, the instant that of the oldest.
Level combine(std::span<const Level> levels, const CombineRules& rules);

}  // namespace stillwell
