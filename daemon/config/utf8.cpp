#include "stillwell/config/utf8.hpp"

#include <array>
#include <cstddef>

namespace stillwell::config {
namespace {

using Byte = unsigned char;

/// The well-formed byte sequences of RFC 3629, section 4: the first byte, the second byte, how many in all.
struct Lead {
  Byte first_from, first_to;
  Byte second_from, second_to;
  std::size_t length;
};
constexpr std::array kForms{
    Lead{0xC2, 0xDF, 0x80, 0xBF, 2}, Lead{0xE0, 0xE0, 0xA0, 0xBF, 3}, Lead{0xE1, 0xEC, 0x80, 0xBF, 3},
    Lead{0xED, 0xED, 0x80, 0x9F, 3}, Lead{0xEE, 0xEF, 0x80, 0xBF, 3}, Lead{0xF0, 0xF0, 0x90, 0xBF, 4},
    Lead{0xF1, 0xF3, 0x80, 0xBF, 4}, Lead{0xF4, 0xF4, 0x80, 0x8F, 4},
};

bool has_tail(std::string_view text, std::size_t length) {
  for (std::size_t i = 2; i < length; ++i) {
    const auto byte = static_cast<Byte>(text[i]);
    if (byte < 0x80 || byte > 0xBF) return false;
  }
  return true;
}

/// How many bytes the character at the front takes; 0 when it is none.
std::size_t character_length(std::string_view text) {
  const auto first = static_cast<Byte>(text[0]);
  if (first < 0x80) return 1;
  for (const Lead& form : kForms) {
    if (first < form.first_from || first > form.first_to) continue;
    if (text.size() < form.length) return 0;
    const auto second = static_cast<Byte>(text[1]);
    const bool fits = second >= form.second_from && second <= form.second_to && has_tail(text, form.length);
    return fits ? form.length : 0;
  }
  return 0;
}

}  // namespace

std::optional<Place> first_bad_character(std::string_view text) {
  Place place{1, 1};
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = character_length(text.substr(at));
    if (length == 0) return place;
    place = text[at] == '\n' ? Place{place.line + 1, 1} : Place{place.line, place.column + 1};
    at += length;
  }
  return {};
}

}  // namespace stillwell::config
