#include "stillwell/tank/shapes/dimension.hpp"

#include "stillwell/quantity/units.hpp"

#include <cmath>

namespace stillwell {
namespace {

Failure refused(const Dimension& dimension, std::string_view wanted) {
  return Failure{std::string(dimension.name) + " is " + in_words(dimension.value) + "; give " +
                 std::string(wanted)};
}

}  // namespace

std::string in_words(Metres value) {
  return shortest(value.value()) + " m";
}

std::optional<Failure> not_positive(std::initializer_list<Dimension> dimensions) {
  for (const Dimension& dimension : dimensions) {
    const double metres = dimension.value.value();
    if (!(metres > 0.0) || !std::isfinite(metres))
      return refused(dimension, "an inside measure of more than 0 m");
  }
  return std::nullopt;
}

std::optional<Failure> negative(std::initializer_list<Dimension> dimensions) {
  for (const Dimension& dimension : dimensions) {
    const double metres = dimension.value.value();
    if (!(metres >= 0.0) || !std::isfinite(metres)) return refused(dimension, "a measure of 0 m or more");
  }
  return std::nullopt;
}

}  // namespace stillwell
