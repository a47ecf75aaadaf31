#pragma once
// The encodings of numbers in registers: their words and how many registers they take.

#include "stillwell/config/wiring.hpp"

#include <cstddef>
#include <optional>
#include <string_view>

namespace stillwell::config {

std::optional<Encoding> encoding_of(std::string_view word);
/// How many registers it takes.
std::size_t width_of(Encoding encoding);

}  // namespace stillwell::config
