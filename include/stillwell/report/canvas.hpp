#pragma once
// A sheet of character cells for a terminal: whatever is put on it, no line gets wider than the sheet, and no
// text can smuggle in a control character.

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

enum class Ink : std::uint8_t { plain, dim, strong, water, fine, caution, alarm };

class Canvas {
 public:
  /// Without `unicode` every cell is ASCII: our own signs have a stand-in, other letters become "?".
  Canvas(std::size_t rows, std::size_t columns, bool unicode);

  [[nodiscard]] std::size_t rows() const { return rows_.size(); }
  [[nodiscard]] std::size_t columns() const { return columns_; }

  struct Place {
    std::size_t row = 0;
    std::size_t column = 0;
    std::size_t width = 0;  ///< at most so many cells; 0: up to the edge
  };
  /// Text that is too long ends in an ellipsis. What lies outside the sheet is not drawn.
  void put(Place place, std::string_view text, Ink ink = Ink::plain);
  /// The same sign `place.width` times.
  void fill(Place place, std::string_view sign, Ink ink);
  /// Ends at the right edge, less `margin` cells.
  void put_right(std::size_t row, std::size_t margin, std::string_view text, Ink ink = Ink::plain);

  /// Without trailing blanks. With `colour`, ink becomes SGR sequences (ECMA-48), each line ending plain.
  [[nodiscard]] std::vector<std::string> lines(bool colour) const;

 private:
  struct Cell {
    std::string sign = " ";  ///< empty: the right half of a wide letter
    Ink ink = Ink::plain;
  };

  std::size_t columns_;
  bool unicode_;
  std::vector<std::vector<Cell>> rows_;
};

/// How many cells a text takes.
std::size_t width_of(std::string_view text);

}  // namespace stillwell::report
