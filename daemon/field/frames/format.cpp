#include "stillwell/field/frames/format.hpp"

#include "stillwell/field/frames/layout.hpp"
#include "stillwell/field/frames/pattern.hpp"

namespace stillwell::field {

std::size_t binary_frame_size(const FrameFormat& format) {
  constexpr std::size_t kStart = 1;
  const auto filling = static_cast<std::size_t>(format.lead) + static_cast<std::size_t>(format.trail);
  return kStart + filling + width_of(format.value) + width_of(format.sum);
}

std::optional<std::string> fault_of_pattern(std::string_view pattern) {
  const auto made = LinePattern::make(pattern);
  if (made) return std::nullopt;
  return made.error();
}

}  // namespace stillwell::field
