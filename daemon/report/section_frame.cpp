#include "stillwell/report/section_frame.hpp"

#include "stillwell/reading/beam.hpp"
#include "stillwell/report/drafting.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::report::draft {
namespace {

using svg::Picture;
using svg::Point;
using svg::Stroke;

constexpr double kTallest = 560.0;
constexpr double kWidest = 460.0;
constexpr double kFlattest = 150.0;  // drawn lower, its set points could not be told apart
constexpr double kSlimmest = 64.0;
constexpr std::string_view kSensor = "#4a2f80";
constexpr std::string_view kBlind = "#f1cfc0";
constexpr Stroke kWall{kInk, 2.2};
constexpr Stroke kUnknownWall{kInk, 1.2, "5 4"};
constexpr Stroke kNoLine{kInk, 0.0};

std::vector<Point> left_side(const Frame& frame, const Outline& outline) {
  std::vector<Point> points;
  for (const OutlineSpan& span : outline.spans)
    points.push_back({frame.x(span.left), frame.y(span.height)});
  return points;
}

/// Down the left side and up the right one.
std::vector<Point> around(const Frame& frame, const Outline& outline) {
  std::vector<Point> points = left_side(frame, outline);
  std::ranges::reverse(points);
  for (const OutlineSpan& span : outline.spans)
    points.push_back({frame.x(span.right), frame.y(span.height)});
  return points;
}

bool looks_down(const Gauge& gauge) {
  return gauge.rules.measures == Measures::distance;
}

/// The cone that it looks through, cut where it leaves the drawing of the vessel.
void draw_beam(Picture& picture, const Frame& frame, const TankGauge& mounted, const Gauge& gauge, double x) {
  const Metres face = mounted.mounting.to_floor;
  Metres seen = face - mounted.mounting.lowest;
  if (gauge.rules.reach) seen = std::min(seen, *gauge.rules.reach);
  const double end = frame.y(face - seen);
  picture.line({{x, frame.y(face)}, {x, end}}, {kSensor, 0.8, "10 3 2 3"});
  if (!gauge.rules.beam) return;
  const double half = footprint(seen, *gauge.rules.beam).value() / 2.0 * pixels_per_metre(frame.across);
  const double room = std::max(std::min(x - frame.left(), frame.right() - x), 1.0);
  const double share = std::min(1.0, room / half);
  const double low = frame.y(face) + share * (end - frame.y(face));
  for (const double side : {-1.0, 1.0})
    picture.line({{x, frame.y(face)}, {x + side * share * half, low}}, {kSensor, 0.8, "3 3"});
}

void draw_blind_zone(Picture& picture, const Frame& frame, Metres face, Metres blanking, double x) {
  if (!(blanking > Metres{0.0})) return;
  constexpr double kHalf = 16.0;
  const double top = frame.y(face);
  const double bottom = frame.y(face - blanking);
  picture.area({{x - kHalf, bottom}, {x + kHalf, bottom}, {x + kHalf, top}, {x - kHalf, top}}, kBlind,
               {kSensor, 0.6, "2 2"});
}

void draw_face(Picture& picture, Point at) {
  picture.area({{at.x - 9.0, at.y - 12.0}, {at.x + 9.0, at.y - 12.0}, {at.x + 5.0, at.y}, {at.x - 5.0, at.y}},
               kSensor, kNoLine);
}

}  // namespace

double Frame::x(Metres place) const {
  return origin.x + place.value() * pixels_per_metre(across);
}
double Frame::y(Metres height) const {
  return origin.y - height.value() * pixels_per_metre(along);
}
double Frame::left() const {
  return x(extent_of(outline).left);
}
double Frame::right() const {
  return x(extent_of(outline).right);
}

Frame frame_of(const Tank& tank, const std::vector<SectionRow>& rows) {
  Frame frame;
  frame.top = tank.full();
  for (const SectionRow& row : rows)
    frame.top = std::max(frame.top, row.height.value_or(Metres{0.0}));
  frame.outline = up_to(*tank.outline, frame.top);
  frame.solid = tank.outline->goes_on ? std::max(tank.full(), tank.outline->spans.back().height)
                                      : frame.outline.spans.back().height;
  const OutlineSpan extent = extent_of(frame.outline);
  const Metres width = extent.right - extent.left;
  const double by_height = scale_for(frame.top, kTallest);
  const double by_width = scale_for(width, kWidest);
  frame.along = frame.across = std::max(by_height, by_width);
  if (frame.top.value() * pixels_per_metre(frame.along) < kFlattest) frame.along = by_height;
  if (width.value() * pixels_per_metre(frame.across) < kSlimmest) frame.across = by_width;
  return frame;
}

double gauge_place(const Frame& frame, const Tank& tank, std::size_t at) {
  constexpr double kApart = 44.0;
  const double count = static_cast<double>(tank.gauges.size());
  const double room = frame.width() / (count + 1.0);
  const double place =
      frame.x(tank.outline->gauge) + (static_cast<double>(at) - (count - 1.0) / 2.0) * std::min(room, kApart);
  const Metres face = tank.gauges[at].mounting.to_floor;
  if (face > Metres{0.0}) return place;
  // One that hangs in the water hangs between the walls.
  const OutlineSpan span = span_at(frame.outline, -face);
  return std::clamp(place, frame.x(span.left), frame.x(span.right));
}

void draw_vessel(Picture& picture, const Frame& frame, const Tank& tank) {
  picture.area(around(frame, up_to(frame.outline, tank.full())), kWater, kNoLine);
  if (tank.unusable > Metres{0.0})
    picture.area(around(frame, up_to(frame.outline, tank.unusable)), kUnusable, kNoLine);
  std::vector<Point> walls = around(frame, up_to(frame.outline, frame.solid));
  if (!tank.outline->goes_on) {
    picture.area(walls, "none", kWall);
    return;
  }
  picture.line(walls, kWall);
  for (const Point& end : {walls.front(), walls.back()})
    picture.line({end, {end.x, frame.y(frame.top)}}, kUnknownWall);
}

void draw_gauges(Picture& picture, const Frame& frame, const Model& model, const Tank& tank) {
  for (std::size_t at = 0; at < tank.gauges.size(); ++at) {
    const TankGauge& mounted = tank.gauges[at];
    const Gauge& gauge = model.gauges.at(mounted.gauge.at);
    const double x = gauge_place(frame, tank, at);
    const Metres face = mounted.mounting.to_floor;
    if (looks_down(gauge)) {
      draw_blind_zone(picture, frame, face, gauge.rules.blanking, x);
      draw_beam(picture, frame, mounted, gauge, x);
      draw_face(picture, {x, frame.y(face)});
    } else {
      picture.line({{x, frame.y(frame.top)}, {x, frame.y(-face)}}, {kSensor, 1.2});
      picture.circle({x, frame.y(-face)}, 5.0, kSensor, kNoLine);
    }
  }
}

}  // namespace stillwell::report::draft
