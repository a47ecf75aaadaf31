#include "stillwell/report/chart_svg.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/drafting.hpp"
#include "stillwell/report/figures.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::report {
namespace {

using svg::Anchor;
using svg::Picture;
using svg::Point;
using svg::Stroke;

constexpr double kBoardHeight = 640.0;
constexpr double kCurveWidth = 540.0;
constexpr double kLabelledLines = 22.0;  // from one to the next at least
constexpr double kLevelRoom = 84.0;      // of the levels beside the curve
constexpr double kDimensionColumn = 76.0;
constexpr int kCurveSteps = 240;
constexpr svg::Type kFigures{12.0, false};
constexpr svg::Type kFullFigures{12.0, true};
constexpr Stroke kGrid{"#d0d0d0", 0.8};
constexpr Stroke kFrameLine{draft::kInk, 1.4};
constexpr Stroke kFullLine{draft::kWaterline, 1.8};
constexpr Stroke kCurve{draft::kInk, 2.2};

class ChartDrawing {
 public:
  ChartDrawing(const Tank& tank, const std::string& site, const std::string& source)
      : tank_{tank}, site_{site}, source_{source}, steps_{board_steps(tank.full(), kBoardHeight)} {
    board_left_ = draft::kMargin + kDimensionColumn;
    board_width_ = 40.0 + svg::width_of(level_text(tank.full()), kFullFigures) +
                   svg::width_of(to_text(tank.capacity()), kFullFigures) + 20.0;
    curve_left_ = board_left_ + board_width_ + kLevelRoom;
    // Room for the last figure of the axis, which stands about its line.
    width_ = std::max({curve_left_ + kCurveWidth + 44.0 + draft::kMargin,
                       svg::width_of(title(), draft::kHeading) + 2.0 * draft::kMargin,
                       svg::width_of(site, draft::kPlain) + 2.0 * draft::kMargin});
  }

  std::string drawn() {
    head();
    ground(board_left_, board_width_);
    ground(curve_left_, kCurveWidth);
    board();
    grid();
    curve();
    const double height = foot();
    return picture_.finished({width_, height}, site_ + ": " + tank_.name + ", dip chart");
  }

 private:
  [[nodiscard]] std::string title() const { return tank_.name + ": dip chart"; }
  [[nodiscard]] double y(Metres level) const { return top_ + kBoardHeight * (1.0 - level / tank_.full()); }
  [[nodiscard]] double bottom() const { return top_ + kBoardHeight; }
  [[nodiscard]] double right() const { return curve_left_ + kCurveWidth; }

  /// Centimetres, as a dip stick has them; metres where those would be long numbers.
  [[nodiscard]] std::string level_text(Metres level) const {
    constexpr Metres kDeep{5.0};
    return tank_.full() > kDeep ? plain(level.value()) + " m" : plain(level.value() * 100.0) + " cm";
  }

  void head() {
    picture_.text({draft::kMargin, draft::kMargin + 22.0}, title(), draft::kHeading, draft::kInk);
    picture_.text({draft::kMargin, draft::kMargin + 44.0}, site_, draft::kPlain, draft::kFaintInk);
  }

  /// Water below the full line, and what of it cannot be used.
  void ground(double left, double width) {
    picture_.box({left, top_}, {width, kBoardHeight}, draft::kPaper, "none");
    const double outlet = y(tank_.unusable);
    picture_.box({left, outlet}, {width, bottom() - outlet}, draft::kUnusable, "none");
  }

  /// Calls `draw` with every multiple of a step up to the full line.
  template <class Draw>
  void each(Metres step, const Draw& draw) const {
    const int count = static_cast<int>(std::floor(tank_.full() / step + 1e-9));
    for (int line = 0; line <= count; ++line)
      draw(step * line);
  }
  /// Where the figures of a level stand: over the frame's lines, never on them.
  [[nodiscard]] double baseline(Metres level) const {
    constexpr double kOverLine = 5.0;
    if (level >= tank_.full()) return top_ - kOverLine;
    return std::min(y(level) + 4.0, bottom() - kOverLine);
  }
  /// Whether its figures would touch the full line.
  [[nodiscard]] bool is_at_full(Metres level) const { return y(level) - top_ < 9.0; }

  void board() {
    const double end = board_left_ + board_width_;
    each(steps_.minor, [&](Metres level) {
      picture_.line({{board_left_, y(level)}, {board_left_ + 8.0, y(level)}}, {draft::kInk, 0.8});
    });
    each(steps_.major, [&](Metres level) {
      picture_.line({{board_left_, y(level)}, {board_left_ + 18.0, y(level)}}, {draft::kInk, 1.6});
      if (!is_at_full(level)) figures(level, kFigures);
    });
    figures(tank_.full(), kFullFigures);
    picture_.line(
        {{board_left_, top_}, {end, top_}, {end, bottom()}, {board_left_, bottom()}, {board_left_, top_}},
        kFrameLine);
    picture_.line({{board_left_, top_}, {end, top_}}, kFullLine);
    for (const double edge : {top_, bottom()})
      picture_.line({{board_left_ - kDimensionColumn / 2.0 - 5.0, edge}, {board_left_ - 4.0, edge}},
                    {draft::kHairline, 0.6});
    draft::draw(picture_, {top_, bottom(), draft::dimension_text(tank_.full())},
                board_left_ - kDimensionColumn / 2.0);
  }

  void figures(Metres level, svg::Type type) {
    const double line = baseline(level);
    picture_.text({board_left_ + 24.0, line}, level_text(level), type, draft::kInk);
    picture_.text({board_left_ + board_width_ - 8.0, line}, to_text(tank_.shape->volume(level)), type,
                  draft::kInk, Anchor::end);
  }

  void grid() {
    each(steps_.major, [&](Metres level) {
      picture_.line({{curve_left_, y(level)}, {right(), y(level)}}, kGrid);
      if (!is_at_full(level))
        picture_.text({curve_left_ - 8.0, y(level) + 4.0}, level_text(level), kFigures, draft::kInk,
                      Anchor::end);
    });
    const double step = round_volume_step();
    for (double volume = 0.0; volume <= tank_.capacity().value() * (1.0 + 1e-9); volume += step) {
      const double x = at(Litres{volume});
      picture_.line({{x, top_}, {x, bottom()}}, kGrid);
      picture_.text({x, bottom() + 18.0}, plain(volume), kFigures, draft::kInk, Anchor::middle);
    }
    picture_.text({curve_left_, bottom() + 38.0}, "contents in litres", kFigures, draft::kFaintInk);
    picture_.text({curve_left_, top_ - 10.0},
                  "full line: " + to_text(tank_.full()) + ", " + to_text(tank_.capacity()), kFullFigures,
                  draft::kWaterline);
    if (tank_.unusable > Metres{0.0})
      picture_.text({right() - 8.0, std::min(y(tank_.unusable), bottom() - 12.0) - 6.0},
                    "outlet: " + to_text(tank_.unusable) + ", below it " +
                        to_text(tank_.shape->volume(tank_.unusable)) + " unusable",
                    kFigures, draft::kInk, Anchor::end);
  }

  /// Far enough apart for the longest of the figures below them.
  [[nodiscard]] double round_volume_step() const {
    const double room = svg::width_of(plain(tank_.capacity().value()), kFigures) + 16.0;
    return draft::round_step(tank_.capacity().value() * std::max(room, 60.0) / kCurveWidth);
  }
  [[nodiscard]] double at(Litres volume) const {
    return curve_left_ + kCurveWidth * (volume / tank_.capacity());
  }

  void curve() {
    std::vector<Point> points;
    for (int step = 0; step <= kCurveSteps; ++step) {
      const Metres level = tank_.full() * step / kCurveSteps;
      points.push_back({at(tank_.shape->volume(level)), y(level)});
    }
    picture_.line({{curve_left_, top_},
                   {right(), top_},
                   {right(), bottom()},
                   {curve_left_, bottom()},
                   {curve_left_, top_}},
                  kFrameLine);
    picture_.line({{curve_left_, top_}, {right(), top_}}, kFullLine);
    picture_.line(points, kCurve);
  }

  double foot() {
    double line = bottom() + 62.0;
    const double inner = width_ - 2.0 * draft::kMargin;
    for (const char* note :
         {"Levels are above the lowest point inside. To use the board, enlarge this sheet until the "
          "dimension beside "
          "the board is as long as it says, cut the board out, and put it up with its foot at that point's "
          "height.",
          "No substitute for measuring: check it against a dip of the tank before you rely on it."})
      line += draft::draw_paragraph(picture_, {draft::kMargin, line}, inner, note, draft::kPlain);
    line += 10.0;
    line += draft::draw_title_block(picture_, {draft::kMargin, line}, inner,
                                    {{"site", site_},
                                     {"tank", tank_.name + " (" + tank_.id + ")"},
                                     {"configuration", source_},
                                     {"board", "a line every " + draft::dimension_text(steps_.minor)}});
    return line + draft::kMargin;
  }

  const Tank& tank_;
  const std::string& site_;
  const std::string& source_;
  BoardSteps steps_;
  double top_ = draft::kMargin + 84.0;
  double board_left_ = 0.0;
  double board_width_ = 0.0;
  double curve_left_ = 0.0;
  double width_ = 0.0;
  Picture picture_;
};

}  // namespace

BoardSteps board_steps(Metres full, double pixels) {
  const double major = draft::round_step(full.value() * kLabelledLines / pixels);
  // Of two, halves of halves; else fifths: all are round again.
  const double first = major / std::pow(10.0, std::floor(std::log10(major) + 1e-9));
  return {.major = Metres{major}, .minor = Metres{major / (first > 1.5 && first < 2.5 ? 4.0 : 5.0)}};
}

std::string chart_svg(const Tank& tank, const std::string& site, const std::string& source) {
  return ChartDrawing(tank, site, source).drawn();
}

}  // namespace stillwell::report
