#include "stillwell/report/canvas.hpp"

#include "stillwell/report/letters.hpp"

#include <algorithm>

namespace stillwell::report {
namespace {

/// SGR parameters (ECMA-48, 8.3.117) out of the eight that every terminal and every theme has.
std::string_view sgr_of(Ink ink) {
  switch (ink) {
    case Ink::plain: return "0";
    case Ink::dim: return "0;2";
    case Ink::strong: return "0;1";
    case Ink::water: return "0;36";
    case Ink::fine: return "0;32";
    case Ink::caution: return "0;33";
    case Ink::alarm: return "0;1;31";
  }
  return "0";
}

std::size_t width_of(const std::vector<Letter>& letters) {
  std::size_t width = 0;
  for (const auto& letter : letters)
    width += static_cast<std::size_t>(letter.width);
  return width;
}

/// Cuts to `limit` cells, the last of which is then an ellipsis.
void shorten(std::vector<Letter>& letters, std::size_t limit) {
  if (width_of(letters) <= limit) return;
  while (!letters.empty() && width_of(letters) + 1 > limit)
    letters.pop_back();
  if (limit > 0) letters.push_back({"…", U'…', 1});
}

}  // namespace

std::size_t width_of(std::string_view text) {
  return width_of(letters_of(text));
}

Canvas::Canvas(std::size_t rows, std::size_t columns, bool unicode)
    : columns_{columns}, unicode_{unicode}, rows_(rows, std::vector<Cell>(columns)) {}

void Canvas::put(Place place, std::string_view text, Ink ink) {
  if (place.row >= rows_.size() || place.column >= columns_) return;
  const auto room = columns_ - place.column;
  auto letters = letters_of(text);
  if (!unicode_) {
    for (auto& letter : letters)
      letter = {std::string(1, ascii_for(letter.code)), letter.code, 1};
  }
  shorten(letters, place.width == 0 ? room : std::min(room, place.width));
  auto column = place.column;
  for (const auto& letter : letters) {
    rows_[place.row][column++] = {unicode_ ? letter.bytes : std::string(1, ascii_for(letter.code)), ink};
    if (letter.width == 2) rows_[place.row][column++] = {"", ink};
  }
}

void Canvas::fill(Place place, std::string_view sign, Ink ink) {
  for (std::size_t i = 0; i < place.width; ++i)
    put({place.row, place.column + i, 1}, sign, ink);
}

void Canvas::put_right(std::size_t row, std::size_t margin, std::string_view text, Ink ink) {
  const auto width = unicode_ ? report::width_of(text) : letters_of(text).size();
  const auto used = width + margin;
  put({row, used > columns_ ? 0 : columns_ - used, 0}, text, ink);
}

std::vector<std::string> Canvas::lines(bool colour) const {
  std::vector<std::string> result;
  for (const auto& row : rows_) {
    const auto is_blank = [](const Cell& cell) { return cell.sign == " "; };
    const auto end = std::find_if_not(row.rbegin(), row.rend(), is_blank).base();
    std::string line;
    Ink ink = Ink::plain;
    for (auto cell = row.begin(); cell != end; ++cell) {
      // A blank has no colour of its own: fewer sequences, the same picture.
      if (colour && cell->ink != ink && !is_blank(*cell)) {
        ink = cell->ink;
        line.append("\x1b[").append(sgr_of(ink)).append("m");
      }
      line += cell->sign;
    }
    if (ink != Ink::plain) line += "\x1b[0m";
    result.push_back(std::move(line));
  }
  return result;
}

}  // namespace stillwell::report
