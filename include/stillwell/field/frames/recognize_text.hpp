#pragma once
// Lines of text with a number in them, and the pattern that reads it. Pure.

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace stillwell::field {

/// The whole lines among the bytes: what stands before the first line end and behind the last one may be half
/// a line and is left out. Empty when a byte is neither printable nor a line end.
std::vector<std::string> whole_lines(std::span<const std::uint8_t> bytes);

/// The pattern of most of the lines (four of five): what they have in common around one run of digits. Empty
/// when there is none, or when the number goes on behind a point: counts are whole.
std::optional<std::string> pattern_of(std::span<const std::string> lines);

}  // namespace stillwell::field
