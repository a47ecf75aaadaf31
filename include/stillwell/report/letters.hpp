#pragma once
// Text as a terminal draws it: one letter at a time, with its width in cells.

#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

struct Letter {
  std::string bytes;  ///< UTF-8
  char32_t code = U'?';
  int width = 1;  ///< 1 or 2 cells
};

/// Invalid UTF-8 and control characters become "?"; marks that combine with the letter before are left out.
std::vector<Letter> letters_of(std::string_view text);

/// Whether it is text that stays in its line and shows as it is: UTF-8 without control characters and without
/// the signs that turn the direction of what follows (Unicode Standard Annex 9).
bool is_plain_line(std::string_view text);

/// The nearest ASCII sign for one of our own drawing signs; "?" for any other letter.
char ascii_for(char32_t code);

}  // namespace stillwell::report
