#include "stillwell/report/drafting.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/figures.hpp"
#include "stillwell/report/wrap.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stillwell::report::draft {
namespace {

using svg::Anchor;
using svg::Picture;
using svg::Point;

constexpr double kPixelsPerMetre = 96.0 / 0.0254;  // CSS Values and Units 3, 5.2
constexpr double kArrow = 7.0;
constexpr double kShort = 34.0;  // a dimension line that has no room for its value between its arrows
constexpr double kTail = 16.0;   // of arrows that point inward from outside
constexpr double kCellPadding = 6.0;
constexpr svg::Type kSmall{10.0, false};
constexpr svg::Stroke kThin{kInk, 0.8};

std::vector<std::string> lines_of(std::string_view words, double width, svg::Type type) {
  return wrapped(words, width, [type](const Letter& letter) { return svg::advance(letter, type); });
}

/// Its tip at `at`, pointing down for a `way` of 1 and up for -1.
void arrow(Picture& picture, Point at, double way) {
  picture.area({at, {at.x - kArrow / 3.0, at.y - way * kArrow}, {at.x + kArrow / 3.0, at.y - way * kArrow}},
               kInk, {kInk, 0.0});
}

void arrow_aside(Picture& picture, Point at, double way) {
  picture.area({at, {at.x - way * kArrow, at.y - kArrow / 3.0}, {at.x - way * kArrow, at.y + kArrow / 3.0}},
               kInk, {kInk, 0.0});
}

bool is_short(const Dimension& dimension) {
  return dimension.bottom - dimension.top < kShort;
}

/// On a ground of its own: extension lines of other dimensions pass behind it.
void value(Picture& picture, Point middle, const std::string& words) {
  const double width = svg::width_of(words, kPlain);
  picture.box({middle.x - width / 2.0, middle.y - 8.0}, {width, 16.0}, kPaper, "none");
  picture.text({middle.x, middle.y + 4.0}, words, kPlain, kInk, Anchor::middle);
}

}  // namespace

double round_step(double least) {
  const double decade = std::pow(10.0, std::floor(std::log10(least)));
  for (const double step : {1.0, 2.0, 5.0})
    if (step * decade >= least * (1.0 - 1e-9)) return step * decade;
  return 10.0 * decade;
}

double scale_for(Metres length, double pixels) {
  return round_step(length.value() * kPixelsPerMetre / pixels);
}

double pixels_per_metre(double scale) {
  return kPixelsPerMetre / scale;
}

std::string dimension_text(Metres length) {
  // Sums of decimals carry noise in their last digits.
  const double metres = std::round(length.value() * 1e4) / 1e4;
  return metres < 1.0 ? plain(metres * 100.0) + " cm" : fixed(metres, 3) + " m";
}

std::pair<double, double> taken_by(const Dimension& dimension) {
  if (!is_short(dimension)) return {dimension.top, dimension.bottom};
  return {dimension.top - kTail, dimension.bottom + kTail + 18.0};
}

std::vector<int> columns_for(const std::vector<Dimension>& dimensions) {
  std::vector<std::size_t> order(dimensions.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) {
    return dimensions[a].bottom - dimensions[a].top < dimensions[b].bottom - dimensions[b].top;
  });
  std::vector<std::vector<std::pair<double, double>>> columns;
  std::vector<int> chosen(dimensions.size());
  for (const std::size_t at : order) {
    const auto [top, bottom] = taken_by(dimensions[at]);
    const auto is_free = [&, top = top, bottom = bottom](const auto& taken) {
      return std::ranges::none_of(taken,
                                  [&](const auto& one) { return one.first < bottom && top < one.second; });
    };
    auto column = std::ranges::find_if(columns, is_free);
    if (column == columns.end())
      column = columns.insert(columns.end(), std::vector<std::pair<double, double>>{});
    column->emplace_back(top, bottom);
    chosen[at] = static_cast<int>(column - columns.begin());
  }
  return chosen;
}

void draw(Picture& picture, const Dimension& dimension, double x) {
  const auto& [top, bottom, words] = dimension;
  if (is_short(dimension)) {
    picture.line({{x, top - kTail}, {x, bottom + kTail}}, kThin);
    arrow(picture, {x, top}, 1.0);
    arrow(picture, {x, bottom}, -1.0);
    value(picture, {x, bottom + kTail + 9.0}, words);
    return;
  }
  picture.line({{x, top}, {x, bottom}}, kThin);
  arrow(picture, {x, top}, -1.0);
  arrow(picture, {x, bottom}, 1.0);
  value(picture, {x, (top + bottom) / 2.0}, words);
}

void draw_lying(Picture& picture, Point left, double length, const std::string& text) {
  const Point right{left.x + length, left.y};
  for (const Point& end : {left, right})
    picture.line({{end.x, end.y - 6.0}, {end.x, end.y + 6.0}}, kThin);
  picture.line({left, right}, kThin);
  arrow_aside(picture, left, -1.0);
  arrow_aside(picture, right, 1.0);
  picture.text({left.x + length / 2.0, left.y + 18.0}, text, kPlain, kInk, Anchor::middle);
}

void draw_scale_bar(Picture& picture, Point at, double per_metre, const std::string& what) {
  constexpr double kShortest = 50.0;  // pixels; 1, 2 or 5 times a power of ten is at most 2.5 times as long
  const double metres = round_step(kShortest / per_metre);
  const double half = metres * per_metre / 2.0;
  picture.box(at, {half, 6.0}, kInk, kInk);
  picture.box({at.x + half, at.y}, {half, 6.0}, kPaper, kInk);
  const std::string length = metres < 1.0 ? plain(metres * 100.0) + " cm" : plain(metres) + " m";
  picture.text({at.x, at.y + 20.0}, what.empty() ? length : what + ": " + length, kPlain, kInk);
}

double draw_title_block(Picture& picture, Point at, double width, const std::vector<BlockCell>& cells) {
  const double each = width / static_cast<double>(cells.size());
  double height = 0.0;
  for (const BlockCell& cell : cells) {
    const auto lines = lines_of(cell.value, each - 2.0 * kCellPadding, kStrong);
    height = std::max(height, static_cast<double>(lines.size()) * kStrong.size * kLeading);
  }
  height += 2.0 * kCellPadding + kSmall.size * kLeading;
  double x = at.x;
  for (const BlockCell& cell : cells) {
    picture.box({x, at.y}, {each, height}, kPaper, kInk);
    const Point inside{x + kCellPadding, at.y + kCellPadding};
    picture.text({inside.x, inside.y + kSmall.size}, cell.name, kSmall, kFaintInk);
    draw_paragraph(picture, {inside.x, inside.y + kSmall.size * kLeading}, each - 2.0 * kCellPadding,
                   cell.value, kStrong);
    x += each;
  }
  return height;
}

double draw_paragraph(Picture& picture, Point at, double width, std::string_view words, svg::Type type) {
  double height = 0.0;
  for (const std::string& line : lines_of(words, width, type)) {
    if (!line.empty()) picture.text({at.x, at.y + height + type.size}, line, type, kInk);
    height += type.size * kLeading;
  }
  return height;
}

}  // namespace stillwell::report::draft
