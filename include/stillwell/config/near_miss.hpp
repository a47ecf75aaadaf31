#pragma once
// What somebody meant who wrote something that does not exist.

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::config {

/// Letters to insert, remove, replace or swap with their neighbour to turn one word into the other
/// (optimal string alignment).
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The closest of the candidates, when it is close enough to have been meant; the first of equals.
std::optional<std::string_view> nearest(std::string_view word, std::span<const std::string_view> candidates);

/// "did you mean 'to_floor'?" or, without a near miss, "expected one of: a, b, c".
std::string suggestion(std::string_view word, std::span<const std::string_view> candidates);

}  // namespace stillwell::config
