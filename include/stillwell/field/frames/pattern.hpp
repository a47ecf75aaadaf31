#pragma once
// The pattern of a text frame: literal characters and exactly one group of digits, (\d{n}) or (\d+). It is
// written like a regular expression but matched by hand: bytes from a wire never meet a backtracking engine.

#include "stillwell/quantity/result.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace stillwell::field {

inline constexpr std::size_t kLongestLine = 64;  ///< bytes of a text frame, without its line end
inline constexpr int kMostDigits = 9;            ///< as many as a 32-bit count always holds

class LinePattern {
 public:
  /// The failure names the character that is not understood and what would be.
  static Result<LinePattern> make(std::string_view text);

  /// The number when the whole line fits the pattern.
  [[nodiscard]] std::optional<std::uint32_t> match(std::span<const std::uint8_t> line) const;

  /// The line that stands for a count; empty when it has more digits than the pattern allows.
  [[nodiscard]] std::optional<std::string> write(std::uint32_t count) const;

  /// The pattern begins with a digit or with the number, so that the tail of a damaged or half-heard line
  /// could pass for a smaller number: only lines heard from their beginning may be believed.
  [[nodiscard]] bool needs_whole_line() const;

 private:
  std::string before_;
  std::string after_;
  int digits_ = 0;  ///< exactly so many; 0: from one to kMostDigits
};

}  // namespace stillwell::field
