#pragma once
// A tank's outline on paper: its scale, its walls and water, its sensors. Words and dimensions are others'.

#include "stillwell/report/section.hpp"
#include "stillwell/report/svg.hpp"
#include "stillwell/tank/outline.hpp"

#include <string>
#include <vector>

namespace stillwell::report::draft {

/// Metres of the tank as pixels of the sheet.
struct Frame {
  Outline outline;      ///< as far up as it is drawn
  Metres solid{};       ///< up to here its walls are known
  Metres top{};         ///< of all that is drawn
  double across = 1.0;  ///< scale 1 : N of widths
  double along = 1.0;   ///< and of heights
  svg::Point origin{};  ///< height zero on the vertical line from which widths count

  [[nodiscard]] double x(Metres place) const;
  [[nodiscard]] double y(Metres height) const;
  [[nodiscard]] double left() const;
  [[nodiscard]] double right() const;
  [[nodiscard]] double width() const { return right() - left(); }
  [[nodiscard]] double height() const { return y(Metres{0.0}) - y(top); }
};

/// Heights and widths to one scale, unless that would leave a line of a bore or a puddle.
Frame frame_of(const Tank& tank, const std::vector<SectionRow>& rows);

void draw_vessel(svg::Picture& picture, const Frame& frame, const Tank& tank);
/// Blanking zone, beam and face of every gauge, or where it hangs in the water.
void draw_gauges(svg::Picture& picture, const Frame& frame, const Model& model, const Tank& tank);
/// Where a gauge of the tank is drawn across it, in pixels.
double gauge_place(const Frame& frame, const Tank& tank, std::size_t at);

}  // namespace stillwell::report::draft
