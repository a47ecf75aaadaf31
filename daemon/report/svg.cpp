#include "stillwell/report/svg.hpp"

#include "stillwell/quantity/units.hpp"

namespace stillwell::report::svg {
namespace {

constexpr double kBold = 1.15;
constexpr std::string_view kBackground = "#ffffff";

double advance_of(char32_t code, int width) {
  constexpr std::string_view kSlim = "fijlrtI |!.,:;'()[]/\\J-\"";
  constexpr std::string_view kWide = "mMwW%@&+<>=~^#OQ";
  if (code >= 0x80) return width == 2 ? 1.1 : 0.85;
  const char letter = static_cast<char>(code);
  if (kSlim.find(letter) != std::string_view::npos) return 0.47;
  if (kWide.find(letter) != std::string_view::npos) return 1.0;
  return letter >= 'A' && letter <= 'Z' ? 0.78 : 0.65;
}

/// U+FFFE and U+FFFF are no characters of XML (XML 1.0, 2.2); controls are gone already.
std::string escaped(std::string_view words) {
  std::string text;
  for (const Letter& letter : letters_of(words)) {
    if (letter.code == U'&')
      text += "&amp;";
    else if (letter.code == U'<')
      text += "&lt;";
    else if (letter.code == U'>')
      text += "&gt;";
    else if (letter.code == U'"')
      text += "&quot;";
    else
      text += letter.code == 0xFFFE || letter.code == 0xFFFF ? "?" : letter.bytes;
  }
  return text;
}

std::string attribute(std::string_view name, std::string_view value) {
  return " " + std::string(name) + "=\"" + std::string(value) + "\"";
}
std::string attribute(std::string_view name, double value) {
  return attribute(name, fixed(value, 1));
}

std::string points_of(const std::vector<Point>& points) {
  std::string text;
  for (const Point& point : points)
    text += (text.empty() ? "" : " ") + fixed(point.x, 2) + "," + fixed(point.y, 2);
  return attribute("points", text);
}

std::string attributes_of(const Stroke& stroke) {
  if (!(stroke.width > 0.0)) return attribute("stroke", "none");
  return attribute("stroke", stroke.colour) + attribute("stroke-width", stroke.width) +
         attribute("stroke-linejoin", "round") +
         (stroke.dashes.empty() ? "" : attribute("stroke-dasharray", stroke.dashes));
}

std::string_view word_of(Anchor anchor) {
  switch (anchor) {
    case Anchor::start: return "start";
    case Anchor::middle: return "middle";
    case Anchor::end: return "end";
  }
  return "start";
}

}  // namespace

double advance(const Letter& letter, Type type) {
  return advance_of(letter.code, letter.width) * type.size * (type.bold ? kBold : 1.0);
}

double width_of(std::string_view words, Type type) {
  double width = 0.0;
  for (const Letter& letter : letters_of(words))
    width += advance(letter, type);
  return width;
}

void Picture::text(Point at, std::string_view words, Type type, std::string_view colour, Anchor anchor) {
  body_ += "<text" + attribute("x", at.x) + attribute("y", at.y) + attribute("font-size", type.size) +
           attribute("font-weight", type.bold ? "bold" : "normal") + attribute("fill", colour) +
           (anchor == Anchor::start ? "" : attribute("text-anchor", word_of(anchor))) + ">" + escaped(words) +
           "</text>\n";
}

void Picture::line(const std::vector<Point>& points, const Stroke& stroke) {
  body_ += "<polyline" + points_of(points) + attribute("fill", "none") + attributes_of(stroke) + "/>\n";
}

void Picture::area(const std::vector<Point>& points, std::string_view fill, const Stroke& stroke) {
  body_ += "<polygon" + points_of(points) + attribute("fill", fill) + attributes_of(stroke) + "/>\n";
}

void Picture::circle(Point at, double radius, std::string_view fill, const Stroke& stroke) {
  body_ += "<circle" + attribute("cx", at.x) + attribute("cy", at.y) + attribute("r", radius) +
           attribute("fill", fill) + attributes_of(stroke) + "/>\n";
}

void Picture::box(Point at, Size size, std::string_view fill, std::string_view stroke) {
  body_ += "<rect" + attribute("x", at.x) + attribute("y", at.y) + attribute("width", size.width) +
           attribute("height", size.height) + attribute("fill", fill) + attribute("stroke", stroke) + "/>\n";
}

std::string Picture::finished(Size size, std::string_view title) const {
  const std::string extent = attribute("width", size.width) + attribute("height", size.height);
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"" + extent +
         attribute("viewBox", "0 0 " + fixed(size.width, 1) + " " + fixed(size.height, 1)) +
         attribute("font-family", "sans-serif") + ">\n<title>" + escaped(title) + "</title>\n<rect" + extent +
         attribute("fill", kBackground) + "/>\n" + body_ + "</svg>\n";
}

}  // namespace stillwell::report::svg
