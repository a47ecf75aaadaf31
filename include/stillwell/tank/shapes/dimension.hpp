#pragma once
// Dimensions that cannot be: one sentence for each, with the dimension, its value and the remedy.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/result.hpp"

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>

namespace stillwell {

struct Dimension {
  std::string_view name;
  Metres value;
};

/// A length as it stands in a message: "0.25 m".
std::string in_words(Metres value);

/// The first dimension that is not a number above zero.
std::optional<Failure> not_positive(std::initializer_list<Dimension> dimensions);
/// The first dimension that is not a number of zero or more.
std::optional<Failure> negative(std::initializer_list<Dimension> dimensions);

}  // namespace stillwell
