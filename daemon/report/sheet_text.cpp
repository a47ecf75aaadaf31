#include "stillwell/report/sheet_text.hpp"

#include "stillwell/report/canvas.hpp"
#include "stillwell/report/wrap.hpp"

#include <algorithm>
#include <numeric>

namespace stillwell::report {
namespace {

constexpr std::size_t kGap = 2;
constexpr std::size_t kNarrowest = 16;  // a column that is narrower is a ladder of single words
constexpr std::size_t kWidestKey = 30;

using ColumnWidths = std::vector<std::size_t>;

double cells(const Letter& letter) {
  return letter.width;
}

/// What each column would like to have.
ColumnWidths natural_widths(const Grid& grid) {
  ColumnWidths widths;
  for (const std::string& head : grid.head)
    widths.push_back(width_of(head));
  for (const auto& row : grid.rows)
    for (std::size_t at = 0; at < widths.size(); ++at)
      widths[at] = std::max(widths[at], width_of(row[at].text));
  widths[0] = std::min(widths[0], kWidestKey);
  return widths;
}

/// One part of a grid that fits the page: the first column and some of the others.
struct Part {
  std::vector<std::size_t> columns;
  ColumnWidths widths;
};

std::size_t total(const ColumnWidths& widths) {
  return std::accumulate(widths.begin(), widths.end(), kGap * (widths.size() - 1));
}

/// The widest gives way, one cell at a time.
void shrink(ColumnWidths& widths, std::size_t width) {
  while (total(widths) > width)
    --*std::max_element(widths.begin() + 1, widths.end());
}

std::vector<Part> parts_of(const Grid& grid, std::size_t width) {
  const ColumnWidths natural = natural_widths(grid);
  std::vector<Part> parts;
  std::size_t least = 0;
  for (std::size_t column = 1; column < natural.size(); ++column) {
    const std::size_t needs = kGap + std::min(natural[column], kNarrowest);
    if (parts.empty() || least + needs > width) {
      parts.push_back({{0}, {natural[0]}});
      least = natural[0];
    }
    least += needs;
    parts.back().columns.push_back(column);
    parts.back().widths.push_back(natural[column]);
  }
  for (Part& part : parts)
    shrink(part.widths, width);
  return parts;
}

void add_line(std::string& text, std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  text += line + '\n';
}

/// The cells of one row side by side, as many lines as the tallest of them needs.
void add_row(std::string& text, const Part& part, const std::vector<Cell>& row) {
  std::vector<std::vector<std::string>> blocks;
  std::size_t height = 0;
  for (std::size_t at = 0; at < part.columns.size(); ++at) {
    blocks.push_back(wrapped(row[part.columns[at]].text, static_cast<double>(part.widths[at]), cells));
    height = std::max(height, blocks.back().size());
  }
  for (std::size_t y = 0; y < height; ++y) {
    std::string line;
    for (std::size_t at = 0; at < blocks.size(); ++at) {
      const std::string& piece = y < blocks[at].size() ? blocks[at][y] : "";
      line += piece + std::string(part.widths[at] - width_of(piece) + kGap, ' ');
    }
    add_line(text, std::move(line));
  }
}

void add_grid(std::string& text, const Grid& grid, std::size_t width) {
  add_line(text, "");
  for (const std::string& line : wrapped(grid.title, static_cast<double>(width), cells))
    add_line(text, line);
  std::vector<Cell> head;
  for (const std::string& name : grid.head)
    head.push_back({name});
  for (const Part& part : parts_of(grid, width)) {
    add_line(text, "");
    add_row(text, part, head);
    add_line(text, std::string(total(part.widths), '-'));
    for (const auto& row : grid.rows)
      add_row(text, part, row);
  }
}

}  // namespace

std::string to_columns(const Sheet& sheet, std::size_t width) {
  std::string text;
  for (const std::string& above : {sheet.title, sheet.subtitle})
    for (const std::string& line : wrapped(above, static_cast<double>(width), cells))
      add_line(text, line);
  for (const Grid& grid : sheet.grids)
    add_grid(text, grid, width);
  return text;
}

}  // namespace stillwell::report
