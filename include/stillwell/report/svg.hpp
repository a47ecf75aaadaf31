#pragma once
// What every SVG picture of ours is drawn with (SVG 1.1, W3C): its own background, so that it reads the same
// on paper and in a dark viewer; generic fonts; text that is measured before it is placed.

#include "stillwell/report/letters.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report::svg {

struct Type {
  double size = 13.0;  ///< of the font, in pixels
  bool bold = false;
};

/// How wide a letter can get in any usual face without serifs: the advances of DejaVu Sans, the widest of the
/// common ones, rounded up by class of letter.
double advance(const Letter& letter, Type type);

struct Point {
  double x = 0.0;
  double y = 0.0;
};
struct Size {
  double width = 0.0;
  double height = 0.0;
};

class Picture {
 public:
  /// `y` is that of the baseline.
  void text(Point at, std::string_view words, Type type, std::string_view colour);
  void box(Point at, Size size, std::string_view fill, std::string_view stroke);
  /// `dashes` as SVG has them ("5 4"); empty: drawn through.
  void line(Point from, Point to, std::string_view stroke, double width, std::string_view dashes = "");
  /// Closed.
  void outline(const std::vector<Point>& points, std::string_view fill, std::string_view stroke);

  /// The whole file. `title` is what viewers show and screen readers read.
  [[nodiscard]] std::string finished(Size size, std::string_view title) const;

 private:
  std::string body_;
};

}  // namespace stillwell::report::svg
