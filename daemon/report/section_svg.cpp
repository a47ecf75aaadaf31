#include "stillwell/report/section_svg.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/drafting.hpp"
#include "stillwell/report/figures.hpp"
#include "stillwell/report/section_style.hpp"
#include "stillwell/report/spread.hpp"
#include "stillwell/site/words.hpp"

#include <algorithm>
#include <array>

namespace stillwell::report {
namespace {

using draft::Dimension;
using draft::Frame;
using svg::Anchor;
using svg::Picture;
using svg::Point;

constexpr double kRowGap = 17.0;       // of labels
constexpr double kDimensionRoom = 70;  // of a column of dimension lines
constexpr double kBandRoom = 7.0;      // of a bar that shows a deadband
constexpr double kSlant = 40.0;        // of a leader on its way to its label
constexpr double kNarrowestSheet = 980.0;

/// A row at its place in the drawing.
struct Label {
  SectionRow row;
  Metres at{};
  std::array<std::string, 4> cells;  ///< height, share, contents, words
};

/// Heights and outline where nobody told any: floats in their order, evenly apart.
Tank as_diagram(Tank tank, std::vector<SectionRow>& rows) {
  tank.full_line = Metres{1.0};
  tank.outline = box_outline(Metres{0.8});
  tank.outline->spans = up_to(*tank.outline, Metres{1.0}).spans;
  double left = static_cast<double>(rows.size());
  for (SectionRow& row : rows)
    row.height = Metres{left-- / (static_cast<double>(rows.size()) + 1.0)};
  return tank;
}

class SectionDrawing {
 public:
  SectionDrawing(const Model& model, TankIndex index, const std::string& source)
      : model_{model}, tank_{model.tanks.at(index.at)}, source_{source} {
    auto rows = section_rows(model, index);
    to_scale_ = !tank_.floats;
    if (!to_scale_) tank_ = as_diagram(tank_, rows);
    frame_ = draft::frame_of(tank_, rows);
    for (const SectionRow& row : rows)
      add_label(row);
    if (to_scale_) gather_dimensions();
  }

  std::string drawn() {
    lay_out();
    head();
    draw_vessel(picture_, frame_, tank_);
    level_lines();
    draw_gauges(picture_, frame_, model_, tank_);
    labels();
    dimensions();
    const double height = foot();
    return picture_.finished({width_, height}, site() + ": " + tank_.name + ", section");
  }

 private:
  [[nodiscard]] std::string site() const { return name_of(model_.name, model_.id); }

  [[nodiscard]] std::string title() const { return tank_.name + ": section"; }

  void add_label(const SectionRow& row) {
    if (!row.height) {
      unplaced_.push_back("Not drawn: " + row.text + ".");
      return;
    }
    Label label{row, *row.height, {"", "", "", row.text + draft::until_text(row)}};
    constexpr Metres kRounding{1e-9};
    if (to_scale_) label.cells[0] = to_text(label.at);
    if (to_scale_ && label.at <= tank_.full() + kRounding) {
      label.cells[1] = plain(percent_of(tank_, label.at).value()) + " %";
      label.cells[2] = to_text(tank_.shape->volume(label.at));
    }
    labels_.push_back(std::move(label));
  }

  struct Span {
    Metres from;
    Metres to;
  };

  void gather_dimensions() {
    const auto add = [this](Metres from, Metres to) {
      constexpr Metres kNothing{1e-6};
      if (to - from > kNothing) spans_.push_back({from, to});
    };
    add({}, tank_.full());
    add({}, tank_.unusable);
    if (!tank_.outline->goes_on && frame_.solid > tank_.full()) add({}, frame_.solid);
    for (const TankGauge& mounted : tank_.gauges) {
      const Metres face = mounted.mounting.to_floor;
      if (model_.gauges.at(mounted.gauge.at).rules.measures == Measures::depth) {
        add({}, -face);
        continue;
      }
      add(mounted.mounting.lowest, face);
      add(tank_.full(), face);
      add(face - model_.gauges.at(mounted.gauge.at).rules.blanking, face);
    }
    // Two gauges of one height have one dimension.
    const auto same = [](const Span& a, const Span& b) { return a.from == b.from && a.to == b.to; };
    std::vector<Span> once;
    for (const Span& span : spans_)
      if (std::ranges::none_of(once, [&](const Span& one) { return same(one, span); })) once.push_back(span);
    spans_ = std::move(once);
  }

  /// Left to right: columns of dimensions, the vessel, bars of deadbands, leaders, labels.
  void lay_out() {
    const double rows = static_cast<double>(labels_.size()) * kRowGap;
    const double room = std::max(frame_.height() + 12.0, rows);
    top_ = draft::kMargin + 92.0;
    bottom_ = top_ + room;
    frame_.origin.y = top_ + (room + frame_.height()) / 2.0;
    for (const Span& span : spans_)
      dimensions_.push_back(
          {frame_.y(span.to), frame_.y(span.from), draft::dimension_text(span.to - span.from)});
    columns_ = draft::columns_for(dimensions_);
    const int columns = columns_.empty() ? 0 : *std::ranges::max_element(columns_) + 1;
    const double left = draft::kMargin + columns * kDimensionRoom + 20.0;
    frame_.origin.x += left - frame_.left();
    lay_out_bands();
    double x = bands_end_ + kSlant;
    for (std::size_t column = 0; column < 4; ++column) {
      double widest = to_scale_ ? svg::width_of(kHeads.at(column), draft::kPlain) : 0.0;
      for (const Label& label : labels_)
        widest = std::max(
            widest, svg::width_of(label.cells.at(column), column == 0 ? draft::kStrong : draft::kPlain));
      if (widest > 0.0) x += 10.0;
      cell_at_.at(column) = column < 3 ? x + widest : x;
      x += widest;
    }
    width_ = std::max({x + draft::kMargin, kNarrowestSheet,
                       svg::width_of(title(), draft::kHeading) + 2.0 * draft::kMargin,
                       svg::width_of(site(), draft::kPlain) + 2.0 * draft::kMargin});
  }

  void lay_out_bands() {
    std::vector<double> taken;  // by column: the height in pixels above which it is free
    for (const Label& label : labels_) {
      if (!label.row.until || label.row.kind == SectionKind::blanking) {
        band_.push_back(-1);
        continue;
      }
      const double top = frame_.y(std::max(label.at, *label.row.until));
      const double bottom = frame_.y(std::min(label.at, *label.row.until));
      auto column = std::ranges::find_if(taken, [&](double end) { return end + 4.0 < top; });
      if (column == taken.end()) column = taken.insert(taken.end(), 0.0);
      *column = bottom;
      band_.push_back(static_cast<int>(column - taken.begin()));
    }
    bands_end_ = frame_.right() + 12.0 + static_cast<double>(taken.size()) * kBandRoom;
  }

  void head() {
    picture_.text({draft::kMargin, draft::kMargin + 22.0}, title(), draft::kHeading, draft::kInk);
    picture_.text({draft::kMargin, draft::kMargin + 44.0}, site(), draft::kPlain, draft::kFaintInk);
    for (std::size_t column = 0; column < 4 && to_scale_; ++column)
      picture_.text({cell_at_.at(column), top_ - 20.0}, kHeads.at(column), draft::kPlain, draft::kFaintInk,
                    column < 3 ? Anchor::end : Anchor::start);
  }

  void level_lines() {
    for (const Label& label : labels_) {
      const SectionKind kind = label.row.kind;
      if (!draft::crosses_tank(kind)) continue;
      const OutlineSpan span = span_at(frame_.outline, label.at);
      const Point left{frame_.x(span.left), frame_.y(label.at)};
      const Point right{frame_.x(span.right), left.y};
      const std::string_view colour = draft::colour_of(kind);
      picture_.line({left, right}, {colour, kind == SectionKind::full ? 1.8 : 1.1, draft::dashes_of(kind)});
      if (kind == SectionKind::turns || !to_scale_)
        picture_.circle({left.x + 0.8 * (right.x - left.x), left.y}, 5.0, draft::kPaper, {colour, 1.6});
    }
  }

  /// Where the leader of a label begins.
  [[nodiscard]] double leader_from(const Label& label) const {
    const SectionKind kind = label.row.kind;
    if (kind == SectionKind::sensor || kind == SectionKind::blanking) {
      for (std::size_t at = 0; at < tank_.gauges.size(); ++at)
        if (model_.gauges.at(tank_.gauges[at].gauge.at).id == label.row.of)
          return gauge_place(frame_, tank_, at) + (kind == SectionKind::sensor ? 9.0 : 16.0);
    }
    return frame_.x(span_at(frame_.outline, label.at).right);
  }

  void labels() {
    std::vector<double> wanted;
    for (const Label& label : labels_)
      wanted.push_back(frame_.y(label.at));
    const std::vector<double> places = spread(wanted, {.gap = kRowGap, .low = top_, .high = bottom_});
    for (std::size_t at = 0; at < labels_.size(); ++at) {
      const Label& label = labels_[at];
      const std::string_view colour = draft::colour_of(label.row.kind);
      const double y = wanted[at];
      picture_.line({{leader_from(label), y}, {bands_end_, y}, {bands_end_ + kSlant, places[at]}},
                    {colour, 0.7});
      band(at, colour);
      for (std::size_t column = 0; column < 4; ++column) {
        if (label.cells.at(column).empty()) continue;
        picture_.text({cell_at_.at(column), places[at] + 4.0}, label.cells.at(column),
                      column == 0 ? draft::kStrong : draft::kPlain, colour,
                      column < 3 ? Anchor::end : Anchor::start);
      }
    }
  }

  void band(std::size_t at, std::string_view colour) {
    if (band_[at] < 0) return;
    const double x = frame_.right() + 10.0 + band_[at] * kBandRoom;
    picture_.line({{x, frame_.y(labels_[at].at)}, {x, frame_.y(*labels_[at].row.until)}}, {colour, 3.0});
  }

  void dimensions() {
    for (std::size_t at = 0; at < dimensions_.size(); ++at) {
      const double x = column_at(at);
      for (const Metres height : {spans_[at].from, spans_[at].to}) {
        const double y = frame_.y(height);
        const double wall = frame_.x(span_at(frame_.outline, height).left);
        picture_.line({{x - 5.0, y}, {wall - 4.0, y}}, {draft::kHairline, 0.6});
      }
    }
    for (std::size_t at = 0; at < dimensions_.size(); ++at)
      draft::draw(picture_, dimensions_[at], column_at(at));
    if (!to_scale_ || tank_.outline->view == Elevation::even) return;
    const std::string round = tank_.outline->view == Elevation::round ? "Ø " : "";
    const OutlineSpan extent = extent_of(frame_.outline);
    draft::draw_lying(picture_, {frame_.left(), frame_.y(Metres{0.0}) + 22.0}, frame_.width(),
                      round + draft::dimension_text(extent.right - extent.left));
  }
  [[nodiscard]] double column_at(std::size_t dimension) const {
    return frame_.left() - 20.0 - (columns_[dimension] + 0.5) * kDimensionRoom;
  }

  [[nodiscard]] std::vector<std::string> notes() const {
    if (!to_scale_)
      return {std::string(draft::kNoSubstitute),
              "Kept by floats alone: the configuration has no height and no walls of this tank."};
    std::vector<std::string> notes = notes_for(frame_, tank_);
    notes.insert(notes.end(), unplaced_.begin(), unplaced_.end());
    return notes;
  }

  /// Below the drawing; where the sheet ends.
  double foot() {
    double y = std::max(bottom_, frame_.y(Metres{0.0}) + 44.0) + 24.0;
    if (to_scale_) {
      const bool one = frame_.along == frame_.across;
      draft::draw_scale_bar(picture_, {draft::kMargin, y}, draft::pixels_per_metre(frame_.along),
                            one ? "" : "heights");
      if (!one)
        draft::draw_scale_bar(picture_, {draft::kMargin + 180.0, y}, draft::pixels_per_metre(frame_.across),
                              "widths");
      y += 36.0;
    }
    const double inner = width_ - 2.0 * draft::kMargin;
    for (const std::string& note : notes())
      y += draft::draw_paragraph(picture_, {draft::kMargin, y}, inner, note, draft::kPlain);
    y += 10.0;
    y += draft::draw_title_block(
        picture_, {draft::kMargin, y}, inner,
        {{"site", site()},
         {"tank", tank_.name + " (" + tank_.id + ")"},
         {"configuration", source_},
         {"seen", to_scale_ ? draft::view_text(tank_.outline->view) : "floats in their order"},
         {"scale", to_scale_ ? draft::scale_text(frame_) : "none: a diagram"}});
    return y + draft::kMargin;
  }

  static constexpr std::array<std::string_view, 4> kHeads{"height", "share", "contents", "what"};

  const Model& model_;
  Tank tank_;
  const std::string& source_;
  bool to_scale_ = true;
  Frame frame_;
  std::vector<Label> labels_;
  std::vector<std::string> unplaced_;
  std::vector<Span> spans_;
  std::vector<Dimension> dimensions_;
  std::vector<int> columns_;
  std::vector<int> band_;
  std::array<double, 4> cell_at_{};
  double bands_end_ = 0.0;
  double top_ = 0.0;
  double bottom_ = 0.0;
  double width_ = 0.0;
  Picture picture_;
};

}  // namespace

std::string section_svg(const Model& model, TankIndex tank, const std::string& source) {
  return SectionDrawing(model, tank, source).drawn();
}

}  // namespace stillwell::report
