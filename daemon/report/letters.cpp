#include "stillwell/report/letters.hpp"

#include <algorithm>
#include <array>
#include <optional>

namespace stillwell::report {
namespace {

struct Range {
  char32_t first;
  char32_t last;
};

// East Asian wide and fullwidth letters and pictographs (Unicode Standard Annex 11), in coarse blocks: names
// of tanks are the only foreign text here.
constexpr std::array kWide{Range{0x1100, 0x115F},   Range{0x2E80, 0x303E},   Range{0x3041, 0xA4CF},
                           Range{0xAC00, 0xD7A3},   Range{0xF900, 0xFAFF},   Range{0xFE30, 0xFE6F},
                           Range{0xFF00, 0xFF60},   Range{0xFFE0, 0xFFE6},   Range{0x1F300, 0x1F64F},
                           Range{0x1F680, 0x1F6FF}, Range{0x1F900, 0x1F9FF}, Range{0x20000, 0x3FFFD}};
// Combining marks, joiners, direction and variation controls: no cell of their own.
constexpr std::array kWeightless{
    Range{0x0300, 0x036F}, Range{0x0483, 0x0489}, Range{0x0591, 0x05BD}, Range{0x061C, 0x061C},
    Range{0x064B, 0x065F}, Range{0x0E31, 0x0E31}, Range{0x0E34, 0x0E3A}, Range{0x1AB0, 0x1AFF},
    Range{0x1DC0, 0x1DFF}, Range{0x200B, 0x200F}, Range{0x2028, 0x202E}, Range{0x2060, 0x206F},
    Range{0x20D0, 0x20FF}, Range{0xFE00, 0xFE0F}, Range{0xFE20, 0xFE2F}, Range{0xFEFF, 0xFEFF}};

/// Line and paragraph separators, embeddings, overrides and isolates.
constexpr std::array kTurning{Range{0x061C, 0x061C}, Range{0x200E, 0x200F}, Range{0x2028, 0x202E},
                              Range{0x2066, 0x2069}};

struct StandIn {
  char32_t sign;
  char ascii;
};
constexpr std::array kStandIns{
    StandIn{U'│', '|'}, StandIn{U'─', '-'}, StandIn{U'╰', '\''}, StandIn{U'╯', '\''}, StandIn{U'█', '#'},
    StandIn{U'▁', '_'}, StandIn{U'▂', '_'}, StandIn{U'▃', '_'},  StandIn{U'▄', '='},  StandIn{U'▅', '='},
    StandIn{U'▆', '='}, StandIn{U'▇', '#'}, StandIn{U'▏', ' '},  StandIn{U'▎', ' '},  StandIn{U'▍', ' '},
    StandIn{U'▌', '='}, StandIn{U'▋', '='}, StandIn{U'▊', '='},  StandIn{U'▉', '#'},  StandIn{U'░', ':'},
    StandIn{U'●', '*'}, StandIn{U'○', 'o'}, StandIn{U'◐', '+'},  StandIn{U'◌', '.'},  StandIn{U'▲', '!'},
    StandIn{U'✕', 'X'}, StandIn{U'·', '-'}, StandIn{U'…', '~'},  StandIn{U'↑', '^'},  StandIn{U'↓', 'v'}};

template <std::size_t N>
bool is_in(const std::array<Range, N>& ranges, char32_t code) {
  return std::any_of(ranges.begin(), ranges.end(),
                     [code](const Range& range) { return code >= range.first && code <= range.last; });
}

bool is_control(char32_t code) {
  return code < 0x20 || (code >= 0x7F && code < 0xA0);
}

struct Decoded {
  char32_t code;
  std::size_t length;
};

/// The first code point (RFC 3629), or nothing when the bytes are no UTF-8.
std::optional<Decoded> decode(std::string_view text) {
  const auto lead = static_cast<unsigned char>(text[0]);
  if (lead < 0x80) return Decoded{lead, 1};
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  constexpr std::array<char32_t, 5> kSmallest{0, 0, 0x80, 0x800, 0x10000};
  if (lead < 0xC2 || lead > 0xF4 || text.size() < length) return {};
  char32_t code = lead & (0x7FU >> length);
  for (std::size_t i = 1; i < length; ++i) {
    const auto next = static_cast<unsigned char>(text[i]);
    if ((next & 0xC0U) != 0x80U) return {};
    code = (code << 6U) | (next & 0x3FU);
  }
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  if (code < kSmallest[length] || code > 0x10FFFF || surrogate) return {};
  return Decoded{code, length};
}

}  // namespace

std::vector<Letter> letters_of(std::string_view text) {
  std::vector<Letter> letters;
  while (!text.empty()) {
    const auto decoded = decode(text);
    if (!decoded || is_control(decoded->code)) {
      letters.push_back({"?", U'?', 1});
      text.remove_prefix(decoded ? decoded->length : 1);
      continue;
    }
    if (!is_in(kWeightless, decoded->code)) {
      letters.push_back(
          {std::string{text.substr(0, decoded->length)}, decoded->code, is_in(kWide, decoded->code) ? 2 : 1});
    }
    text.remove_prefix(decoded->length);
  }
  return letters;
}

bool is_plain_line(std::string_view text) {
  while (!text.empty()) {
    const auto decoded = decode(text);
    if (!decoded || is_control(decoded->code) || is_in(kTurning, decoded->code)) return false;
    text.remove_prefix(decoded->length);
  }
  return true;
}

char ascii_for(char32_t code) {
  if (code < 0x7F) return static_cast<char>(code);
  const auto* const found = std::find_if(kStandIns.begin(), kStandIns.end(),
                                         [code](const StandIn& each) { return each.sign == code; });
  return found == kStandIns.end() ? '?' : found->ascii;
}

}  // namespace stillwell::report
