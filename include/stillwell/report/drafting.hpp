#pragma once
// What every drawing to scale has: the scale, dimensions between arrows, a scale bar, a title block. Lengths
// on paper are in pixels of 1/96 inch, as CSS has them.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/report/svg.hpp"

#include <string>
#include <utility>
#include <vector>

namespace stillwell::report::draft {

inline constexpr std::string_view kInk = "#1a1a1a";
inline constexpr std::string_view kFaintInk = "#555555";
inline constexpr std::string_view kHairline = "#9a9a9a";
inline constexpr std::string_view kPaper = "#ffffff";
inline constexpr std::string_view kWater = "#dcebf7";
inline constexpr std::string_view kUnusable = "#b9c7d2";
inline constexpr std::string_view kWaterline = "#1f5f99";

inline constexpr double kMargin = 24.0;
inline constexpr double kLeading = 1.35;  ///< line to line, in font sizes
inline constexpr svg::Type kHeading{22.0, true};
inline constexpr svg::Type kPlain{12.0, false};
inline constexpr svg::Type kStrong{12.0, true};

/// The scale 1 : N of the steps 1, 2, 5 times a power of ten (ISO 5455) at which a length takes at most so
/// many pixels; N.
double scale_for(Metres length, double pixels);
/// Pixels of a metre at 1 : N.
double pixels_per_metre(double scale);
/// The smallest of 1, 2, 5 times a power of ten that is not less than `least`, which is above zero.
double round_step(double least);

/// As it stands beside a dimension line: "40 cm", "2.450 m".
std::string dimension_text(Metres length);

/// A vertical dimension line with arrows, and its value beside or, where it is short, below it.
struct Dimension {
  double top = 0.0;
  double bottom = 0.0;
  std::string text;
};
/// What of the column it takes, text and arrows included.
std::pair<double, double> taken_by(const Dimension& dimension);
/// For each of them a column, so that no two in one column touch; the shorter ones nearer, from 0.
std::vector<int> columns_for(const std::vector<Dimension>& dimensions);
void draw(svg::Picture& picture, const Dimension& dimension, double x);
/// One that lies, with its text below the line.
void draw_lying(svg::Picture& picture, svg::Point left, double length, const std::string& text);

/// A bar as long as a round length that takes at most so many pixels, and the length above it; `what` stands
/// before it: "widths".
void draw_scale_bar(svg::Picture& picture, svg::Point at, double per_metre, const std::string& what);

/// A frame of named cells side by side.
struct BlockCell {
  std::string name;
  std::string value;
};
/// Its height.
double draw_title_block(svg::Picture& picture, svg::Point at, double width,
                        const std::vector<BlockCell>& cells);
/// Text in lines of at most `width`; its height.
double draw_paragraph(svg::Picture& picture, svg::Point at, double width, std::string_view words,
                      svg::Type type);

}  // namespace stillwell::report::draft
