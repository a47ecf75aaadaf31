#include "stillwell/report/sheet_svg.hpp"

#include "stillwell/report/svg.hpp"
#include "stillwell/report/wrap.hpp"

#include <algorithm>
#include <numeric>

namespace stillwell::report {
namespace {

using svg::Type;

constexpr Type kTitle{22.0, true};
constexpr Type kSubtitle{13.0, false};
constexpr Type kGridTitle{16.0, true};
constexpr Type kHead{13.0, true};
constexpr Type kText{13.0, false};

constexpr double kMargin = 24.0;
constexpr double kPadding = 6.0;
constexpr double kLeading = 1.35;      // line to line, in font sizes
constexpr double kWidestColumn = 260;  // lines that an eye can follow
constexpr double kLeastWidth = 640;    // room for titles

constexpr std::string_view kInk = "#1a1a1a";
constexpr std::string_view kFaintInk = "#555555";
constexpr std::string_view kRule = "#8a8a8a";
constexpr std::string_view kHeadFill = "#e8edf2";

/// Light enough for black text, and told apart in grey by their words.
std::string_view fill_of(Tone tone) {
  switch (tone) {
    case Tone::plain: return "#ffffff";
    case Tone::mild: return "#eef6e4";
    case Tone::middling: return "#fff3c9";
    case Tone::grave: return "#ffdcc2";
    case Tone::gravest: return "#f8c4cb";
  }
  return "#ffffff";
}

Measure measure_of(Type type) {
  return [type](const Letter& letter) { return svg::advance(letter, type); };
}

double line_height(Type type) {
  return type.size * kLeading;
}

using Widths = std::vector<double>;

Widths widths_of(const Grid& grid) {
  Widths widths;
  for (std::size_t at = 0; at < grid.head.size(); ++at) {
    double widest = measured(grid.head[at], measure_of(kHead));
    for (const auto& row : grid.rows)
      widest = std::max(widest, measured(row[at].text, measure_of(at == 0 ? kHead : kText)));
    widths.push_back(std::min(widest, kWidestColumn) + 2.0 * kPadding);
  }
  return widths;
}

double sum(const Widths& widths) {
  return std::accumulate(widths.begin(), widths.end(), 0.0);
}

/// Draws downwards from `y`, which is where the next thing goes.
class Pen {
 public:
  explicit Pen(double width) : width_{width} {}

  void paragraph(std::string_view words, Type type, std::string_view colour) {
    for (const std::string& line : wrapped(words, width_, measure_of(type))) {
      picture_.text({kMargin, y_ + type.size}, line, type, colour);
      y_ += line_height(type);
    }
  }
  void gap(double height) { y_ += height; }

  void grid(const Grid& grid) {
    const Widths widths = widths_of(grid);
    std::vector<Block> head;
    for (std::size_t at = 0; at < widths.size(); ++at)
      head.push_back({broken(grid.head[at], widths[at], kHead), kHead, kHeadFill});
    row(head, widths);
    for (const auto& cells : grid.rows) {
      std::vector<Block> blocks;
      for (std::size_t at = 0; at < widths.size(); ++at) {
        const Type type = at == 0 ? kHead : kText;
        blocks.push_back({broken(cells[at].text, widths[at], type), type, fill_of(cells[at].tone)});
      }
      row(blocks, widths);
    }
  }

  [[nodiscard]] std::string finished(std::string_view title) const {
    return picture_.finished({width_ + 2.0 * kMargin, y_ + kMargin}, title);
  }

 private:
  struct Block {
    std::vector<std::string> lines;
    Type type;
    std::string_view fill;
  };

  static std::vector<std::string> broken(std::string_view text, double width, Type type) {
    return wrapped(text, width - 2.0 * kPadding, measure_of(type));
  }

  void row(const std::vector<Block>& blocks, const Widths& widths) {
    double height = 0.0;
    for (const Block& block : blocks)
      height = std::max(height, static_cast<double>(block.lines.size()) * line_height(block.type));
    height += 2.0 * kPadding;
    double x = kMargin;
    for (std::size_t at = 0; at < blocks.size(); ++at) {
      const Block& block = blocks[at];
      picture_.box({x, y_}, {widths[at], height}, block.fill, kRule);
      double baseline = y_ + kPadding + block.type.size;
      for (const std::string& line : block.lines) {
        if (!line.empty()) picture_.text({x + kPadding, baseline}, line, block.type, kInk);
        baseline += line_height(block.type);
      }
      x += widths[at];
    }
    y_ += height;
  }

  svg::Picture picture_;
  double width_;
  double y_ = kMargin;
};

}  // namespace

std::string to_svg(const Sheet& sheet) {
  double width = kLeastWidth;
  for (const Grid& grid : sheet.grids)
    width = std::max(width, sum(widths_of(grid)));
  Pen pen(width);
  pen.paragraph(sheet.title, kTitle, kInk);
  pen.paragraph(sheet.subtitle, kSubtitle, kFaintInk);
  for (const Grid& grid : sheet.grids) {
    pen.gap(kMargin);
    pen.paragraph(grid.title, kGridTitle, kInk);
    pen.gap(kPadding);
    pen.grid(grid);
  }
  return pen.finished(sheet.title);
}

}  // namespace stillwell::report
