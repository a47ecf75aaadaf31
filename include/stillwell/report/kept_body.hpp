#pragma once
// What is kept (site/kept.hpp) as text and back: the body of the state file, which report/state_json.hpp
// seals.

#include "stillwell/site/kept.hpp"

#include <string>
#include <string_view>

namespace stillwell::report {

/// One line of JSON without its end.
std::string body_of(const Kept& kept);
/// Throws std::exception that says what is missing, of the wrong kind or out of range. What an older version
/// did not write stays at its default.
Kept kept_of(std::string_view body);

}  // namespace stillwell::report
