#include "stillwell/field/frames/format.hpp"

#include "stillwell/field/frames/pattern.hpp"

namespace stillwell::field {

std::optional<std::string> fault_of_pattern(std::string_view pattern) {
  const auto made = LinePattern::make(pattern);
  if (made) return std::nullopt;
  return made.error();
}

}  // namespace stillwell::field
