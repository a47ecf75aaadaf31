#include "stillwell/report/strip_chart.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/spread.hpp"
#include "stillwell/report/svg.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace stillwell::report {
namespace {

using svg::Picture;
using svg::Point;
using svg::Size;
using svg::Type;
using namespace std::chrono_literals;

constexpr Type kChartTitle{20.0, true};
constexpr Type kStripName{14.0, true};
constexpr Type kStripText{12.0, false};

constexpr double kEdge = 24.0;
constexpr double kPaper = 800.0;   ///< width of the paper strip
constexpr double kBefore = 150.0;  ///< room beside it at least: names and scales before, set points after
constexpr double kAfter = 170.0;
constexpr double kGap = 22.0;  ///< between it and what stands beside it
constexpr double kTankHeight = 150.0;
constexpr double kTankGap = 22.0;
constexpr double kStateHeight = 12.0;
constexpr double kStatePitch = 24.0;
constexpr double kLabelPitch = 15.0;

constexpr std::string_view kBlack = "#1a1a1a";
constexpr std::string_view kGrey = "#555555";
constexpr std::string_view kHairline = "#c9d1d8";
constexpr std::string_view kFrame = "#8a8a8a";
constexpr std::string_view kWater = "#2f6f9f";
constexpr std::string_view kAlarm = "#b3261e";
constexpr std::string_view kSetPoint = "#3b6e22";
constexpr std::string_view kRan = "#5b8c3e";

/// A step that people count in: 1, 2 or 5 times a power of ten, so that at most five fit.
double scale_step(double span) {
  double step = std::pow(10.0, std::floor(std::log10(span)) - 1.0);
  for (const double times : {1.0, 2.0, 5.0, 10.0, 20.0, 50.0})
    if (span / (step * times) <= 5.0) return step * times;
  return span;
}

Duration time_step(Duration span) {
  constexpr std::array<Duration, 13> kSteps{1s, 10s, 1min, 5min, 15min, 1h,   3h,
                                            6h, 24h, 48h,  168h, 720h,  2160h};
  const auto* const found =
      std::find_if(kSteps.begin(), kSteps.end(), [&](Duration step) { return span / step <= 7; });
  return found == kSteps.end() ? span / 6 : *found;
}

class StripPaper {
 public:
  explicit StripPaper(const StripChart& chart) : chart_{chart} {
    double before = kBefore;
    double after = kAfter;
    for (const StripState& state : chart.states)
      before = std::max(before, svg::width_of(state.name, kStripText));
    for (const StripTank& tank : chart.tanks)
      for (const StripMark& mark : tank.marks)
        after = std::max(after, svg::width_of(mark.words, kStripText));
    const double titles =
        std::max(svg::width_of(chart.title, kChartTitle), svg::width_of(chart.subtitle, kStripText));
    left_ = kEdge + before + kGap;
    width_ = std::max(left_ + kPaper + kGap + after, kEdge + titles) + kEdge;
  }

  std::string drawn() {
    picture_.text({kEdge, y_ + 16.0}, chart_.title, kChartTitle, kBlack);
    picture_.text({kEdge, y_ + 38.0}, chart_.subtitle, kStripText, kGrey);
    y_ += 62.0;
    const double top = y_;
    for (const StripTank& tank : chart_.tanks)
      draw_tank(tank);
    for (const StripState& state : chart_.states)
      draw_state(state);
    draw_times(top);
    return picture_.finished({width_, y_ + kEdge}, chart_.title);
  }

 private:
  [[nodiscard]] double across(std::size_t piece, std::size_t pieces) {
    return left_ + kPaper * static_cast<double>(piece) / static_cast<double>(pieces);
  }

  void draw_tank(const StripTank& tank) {
    picture_.text({left_, y_ + 12.0}, tank.name, kStripName, kBlack);
    y_ += 20.0;
    const double top = y_;
    const double bottom = y_ + kTankHeight;
    const auto height = [&](Metres level) {
      const double share = std::clamp(level / tank.full, -0.05, 1.05);
      return bottom - share * kTankHeight;
    };
    const double step = scale_step(tank.full.value());
    for (double level = 0.0; level <= tank.full.value() * 1.0001; level += step) {
      const double at = height(Metres{level});
      picture_.line({{left_, at}, {left_ + kPaper, at}}, {kHairline, 1.0});
      picture_.text({left_ - 10.0, at + 4.0}, fixed(level, step < 0.1 ? 2 : 1) + " m", kStripText, kGrey,
                    svg::Anchor::end);
    }
    draw_course(tank, height);
    draw_marks(tank, height, bottom);
    picture_.area({{left_, top}, {left_ + kPaper, top}, {left_ + kPaper, bottom}, {left_, bottom}}, "none",
                  {kFrame, 1.0});
    y_ = bottom + kTankGap;
  }

  /// A band from the lowest to the highest of each piece; where nothing was known there is a gap.
  template <class Height>
  void draw_course(const StripTank& tank, Height height) {
    const std::size_t pieces = tank.course.size();
    for (std::size_t first = 0; first < pieces;) {
      if (!tank.course[first]) {
        ++first;
        continue;
      }
      std::size_t end = first;
      std::vector<Point> band;
      for (; end < pieces && tank.course[end]; ++end) {
        band.push_back({across(end, pieces), height(tank.course[end]->second) - 0.6});
        band.push_back({across(end + 1, pieces), height(tank.course[end]->second) - 0.6});
      }
      for (std::size_t back = end; back > first; --back) {
        band.push_back({across(back, pieces), height(tank.course[back - 1]->first) + 0.6});
        band.push_back({across(back - 1, pieces), height(tank.course[back - 1]->first) + 0.6});
      }
      picture_.area(band, kWater, {kWater, 0.0});
      first = end;
    }
  }

  template <class Height>
  void draw_marks(const StripTank& tank, Height height, double bottom) {
    std::vector<StripMark> marks = tank.marks;
    std::ranges::stable_sort(marks, [](const auto& one, const auto& two) { return one.level > two.level; });
    std::vector<double> places;
    places.reserve(marks.size());
    for (const StripMark& mark : marks)
      places.push_back(height(mark.level));
    places =
        spread(places, {.gap = kLabelPitch, .low = bottom - kTankHeight, .high = bottom + kTankGap / 2.0});
    for (std::size_t at = 0; at < marks.size(); ++at) {
      const double level = height(marks[at].level);
      const std::string_view colour = marks[at].is_alarm ? kAlarm : kSetPoint;
      picture_.line({{left_, level}, {left_ + kPaper, level}}, {colour, 0.8, "5 4"});
      picture_.line({{left_ + kPaper, level}, {left_ + kPaper + kGap - 4.0, places[at]}}, {colour, 0.8});
      picture_.text({left_ + kPaper + kGap, places[at] + 4.0}, marks[at].words, kStripText, colour);
    }
  }

  void draw_state(const StripState& state) {
    picture_.text({kEdge, y_ + kStateHeight - 1.0}, state.name, kStripText, kBlack);
    const std::size_t pieces = state.course.size();
    picture_.line({{left_, y_ + kStateHeight}, {left_ + kPaper, y_ + kStateHeight}}, {kHairline, 1.0});
    for (std::size_t first = 0; first < pieces; ++first) {
      if (!state.course[first]) continue;
      std::size_t end = first;
      while (end < pieces && state.course[end])
        ++end;
      picture_.box({across(first, pieces), y_}, {across(end, pieces) - across(first, pieces), kStateHeight},
                   state.is_alarm ? kAlarm : kRan, "none");
      first = end;
    }
    y_ += kStatePitch;
  }

  void draw_times(double top) {
    const double bottom = y_;
    y_ += 18.0;
    const Duration step = time_step(chart_.lasts);
    for (Duration at{0}; at <= chart_.lasts; at += step) {
      const double x = left_ + kPaper * (seconds_of(at) / seconds_of(chart_.lasts));
      picture_.line({{x, top}, {x, bottom}}, {kHairline, 0.6});
      const Stamp stamp = chart_.begins + std::chrono::floor<std::chrono::milliseconds>(at);
      std::string words = stillwell::to_text(stamp).substr(5, step < 1min ? 14 : 11);
      words[5] = ' ';
      picture_.text({x, y_}, words, kStripText, kGrey, svg::Anchor::middle);
    }
    picture_.text({left_ + kPaper + 60.0, y_}, "month-day, UTC", kStripText, kGrey);
  }

  const StripChart& chart_;
  Picture picture_;
  double left_ = 0.0;   ///< of the paper strip
  double width_ = 0.0;  ///< of the sheet
  double y_ = kEdge;
};

}  // namespace

std::string to_svg(const StripChart& chart) {
  return StripPaper{chart}.drawn();
}

}  // namespace stillwell::report
