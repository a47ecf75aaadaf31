#pragma once
// What must outlive the daemon as text: one line of JSON with a sum over it. Fields that an older version did
// not write mean that nothing was known.

#include "stillwell/quantity/result.hpp"
#include "stillwell/site/kept.hpp"

#include <string>
#include <string_view>

namespace stillwell::report {

std::string to_json(const Kept& kept);
/// The failure says what is wrong with the text: cut short, changed, of another version, or with a number
/// that no daemon writes.
Result<Kept> parse_kept(std::string_view text);

}  // namespace stillwell::report
