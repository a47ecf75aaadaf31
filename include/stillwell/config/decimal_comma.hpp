#pragma once
// Numbers written with a decimal comma, as half of the world does by hand. A configuration takes the point
// only: a comma separates keys and list items.

#include <optional>
#include <string>
#include <string_view>

namespace stillwell::config {

/// "2,85 m" as "2.85 m". Nothing unless the text is digits, one comma, digits, and a unit or nothing.
std::optional<std::string> with_point(std::string_view text);

/// What to say of such a text.
std::string about_comma(std::string_view text);

}  // namespace stillwell::config
