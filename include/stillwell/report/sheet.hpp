#pragma once
// A printed sheet before anybody has decided how it is drawn: tables of texts below a title. Terminal, file
// and picture print the same one and cannot disagree.

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace stillwell::report {

/// How grave what a cell says is. Only a help for the eye: the words say it too.
enum class Tone : std::uint8_t { plain, mild, middling, grave, gravest };

struct Cell {
  std::string text;
  Tone tone = Tone::plain;
};

struct Grid {
  std::string title;
  std::vector<std::string> head;
  std::vector<std::vector<Cell>> rows;  ///< each as long as the head; the first cell names the row
};

struct Sheet {
  std::string title;
  std::string subtitle;
  std::vector<Grid> grids;
};

}  // namespace stillwell::report
