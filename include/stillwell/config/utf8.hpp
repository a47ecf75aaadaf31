#pragma once
// Text that is not UTF-8 would be refused by every broker and every JSON reader later; it is refused at the
// door.

#include "stillwell/config/problems.hpp"

#include <optional>
#include <string_view>

namespace stillwell::config {

/// The place of the first byte that belongs to no UTF-8 character. Overlong forms and surrogates are none
/// (RFC 3629, section 4).
std::optional<Place> first_bad_character(std::string_view text);

}  // namespace stillwell::config
