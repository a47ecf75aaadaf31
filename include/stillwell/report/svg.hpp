#pragma once
// What every SVG picture of ours is drawn with (SVG 1.1, W3C): its own background, so that it reads the same
// on paper and in a dark viewer; generic fonts; text that is measured before it is placed.

#include "stillwell/report/letters.hpp"

#include <cstdint>
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
/// Of a line of text.
double width_of(std::string_view words, Type type);

struct Point {
  double x = 0.0;
  double y = 0.0;
};
struct Size {
  double width = 0.0;
  double height = 0.0;
};

struct Stroke {
  std::string_view colour;
  double width = 1.0;
  std::string_view dashes{};  ///< lengths of dash and gap, "6 4"; empty: none
};

enum class Anchor : std::uint8_t { start, middle, end };

class Picture {
 public:
  /// `y` is that of the baseline.
  void text(Point at, std::string_view words, Type type, std::string_view colour,
            Anchor anchor = Anchor::start);
  void box(Point at, Size size, std::string_view fill, std::string_view stroke);
  void line(const std::vector<Point>& points, const Stroke& stroke);
  /// A closed polygon; without a stroke of any width it has no border.
  void area(const std::vector<Point>& points, std::string_view fill, const Stroke& stroke);
  void circle(Point at, double radius, std::string_view fill, const Stroke& stroke);

  /// The whole file. `title` is what viewers show and screen readers read.
  [[nodiscard]] std::string finished(Size size, std::string_view title) const;

 private:
  std::string body_;
};

}  // namespace stillwell::report::svg
