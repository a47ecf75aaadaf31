#include "stillwell/report/picture_tanks.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/figures.hpp"
#include "stillwell/report/picture_parts.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwell::report {
namespace {

constexpr std::size_t kMostVessels = 4;  // side by side in 80 columns
constexpr std::size_t kVesselRows = 7;   // of water: 56 steps
constexpr std::size_t kLeastRows = 3;    // below that bars say more
constexpr std::size_t kFrameRows = 4;    // name above; floor, caption and outlook below
constexpr std::size_t kVesselInner = 7;
constexpr std::size_t kCellColumns = 20;
constexpr std::size_t kTankNameColumns = 16;  // before a bar

constexpr std::array<std::string_view, 9> kRising{" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
constexpr std::array<std::string_view, 9> kGrowing{" ", "▏", "▎", "▍", "▌", "▋", "▊", "▉", "█"};

bool is_known(const TankStatus& tank) {
  return tank.percent.has_value();
}
/// What to draw: the level, or the last one that was believed.
std::optional<double> shown_percent(const TankStatus& tank) {
  return is_known(tank) ? tank.percent : tank.last_percent;
}
/// What a person took out of service calls nobody.
Ink ink_of_unknown(const TankStatus& tank) {
  return tank.out_of_service ? Ink::caution : Ink::alarm;
}
Ink ink_of_quality(const TankStatus& tank) {
  if (tank.quality == "good") return Ink::dim;
  return tank.quality == "bad" ? ink_of_unknown(tank) : Ink::caution;
}

std::string caption(const TankStatus& tank) {
  if (tank.out_of_service) return "out of service";
  if (tank.reason == "none") return tank.quality;
  const std::string why = tank.quality + " " + tank.reason;
  return tank.refused.empty() ? why : why + " " + fixed(tank.refused.front().level_m, 2) + " m";
}
std::string percent_text(double percent) {
  return fixed(percent, 1) + " %";
}
std::string litres_text(double litres) {
  return fixed(litres, litres < 100.0 ? 1 : 0) + " L";
}
/// "↑ 3 mm/min" (a triangle is the sign of an alarm); nothing while it stands still or nobody knows.
std::string rate_text(const TankStatus& tank) {
  const double rate = tank.rate_mm_min.value_or(0.0);
  if (rate == 0.0) return {};
  return (rate > 0.0 ? "↑ " : "↓ ") + plain(std::abs(rate)) + " mm/min";
}
/// "full in 4 h 10 min", "dry in 2 h"; nothing while there is no saying.
std::string outlook(const TankStatus& tank) {
  const auto in = [](double seconds) {
    const std::chrono::duration<double> time{std::clamp(seconds, 0.0, seconds_of(kHorizon))};
    return to_text(std::chrono::duration_cast<Duration>(time));
  };
  if (tank.time_to_full_s) return "full in " + in(*tank.time_to_full_s);
  if (tank.time_to_empty_s) return "dry in " + in(*tank.time_to_empty_s);
  return {};
}
std::string age_text(double seconds) {
  if (seconds < 120.0) return fixed(seconds, 0) + " s ago";
  if (seconds < 7200.0) return fixed(seconds / 60.0, 0) + " min ago";
  return fixed(seconds / 3600.0, 0) + " h ago";
}

/// Eighths of a cell that are filled when `cells` cells stand for 100 %.
std::size_t eighths(double percent, std::size_t cells) {
  const auto all = static_cast<double>(cells * 8);
  return static_cast<std::size_t>(std::lround(std::clamp(percent, 0.0, 100.0) / 100.0 * all));
}
/// How full one cell is, from 0 to 8, when those before it take their share.
std::size_t share_of(std::size_t filled, std::size_t cells_before) {
  return filled <= cells_before * 8 ? 0 : std::min<std::size_t>(8, filled - cells_before * 8);
}

struct Column {
  std::size_t row;
  std::size_t column;
  std::size_t height;
};

void draw_water(Canvas& canvas, const TankStatus& tank, const Column& at) {
  const auto percent = shown_percent(tank);
  const auto filled = percent ? eighths(*percent, at.height) : 0;
  for (std::size_t up = 0; up < at.height; ++up) {
    const auto row = at.row + at.height - 1 - up;
    const auto share = share_of(filled, up);
    // What was is drawn as a shade: nobody shall take it for water.
    const auto sign = is_known(tank) ? kRising.at(share) : share >= 4 ? "░" : " ";
    canvas.put({row, at.column, 1}, "│", Ink::dim);
    canvas.fill({row, at.column + 1, kVesselInner}, sign, is_known(tank) ? Ink::water : Ink::dim);
    canvas.put({row, at.column + 1 + kVesselInner, 1}, "│", Ink::dim);
  }
  const auto floor = at.row + at.height;
  canvas.put({floor, at.column, 1}, "╰", Ink::dim);
  canvas.fill({floor, at.column + 1, kVesselInner}, "─", Ink::dim);
  canvas.put({floor, at.column + 1 + kVesselInner, 1}, "╯", Ink::dim);
}

void draw_vessel(Canvas& canvas, const TankStatus& tank, const Column& at) {
  constexpr std::size_t kWidth = kCellColumns - 1;
  const auto figures = at.column + kVesselInner + 3;
  const auto figure = [&](std::size_t row, const std::string& text, Ink ink) {
    canvas.put({at.row + 1 + row, figures, kCellColumns - kVesselInner - 4}, text, ink);
  };
  canvas.put({at.row, at.column, kWidth}, tank.name, Ink::strong);
  draw_water(canvas, tank, {at.row + 1, at.column, at.height});
  if (tank.floats) {
    const bool is_well = tank.quality != "bad";
    figure(0, is_well ? *tank.floats : "unknown", is_well ? Ink::strong : ink_of_unknown(tank));
    figure(1, "by floats", Ink::dim);
  } else if (is_known(tank)) {
    figure(0, percent_text(*tank.percent), Ink::strong);
    figure(1, fixed(tank.level_m.value_or(0.0), 3) + " m", Ink::plain);
    figure(2, litres_text(tank.volume_l.value_or(0.0)), Ink::plain);
  } else {
    figure(0, "unknown", ink_of_unknown(tank));
    if (tank.last_percent) figure(1, "was " + fixed(*tank.last_percent, 0) + " %", Ink::dim);
    if (tank.age_s) figure(2, age_text(*tank.age_s), Ink::dim);
  }
  const auto below = at.row + 2 + at.height;
  const auto quality = caption(tank);
  const auto rate = rate_text(tank);
  canvas.put({below, at.column, kWidth}, quality, ink_of_quality(tank));
  if (width_of(quality) + 1 + width_of(rate) <= kWidth) {
    canvas.put({below, at.column + width_of(quality) + 1}, rate, Ink::plain);
  }
  canvas.put({below + 1, at.column, kWidth}, outlook(tank), Ink::dim);
}

/// The one thing to know of a tank: the percent, or why there is none.
std::string brief(const TankStatus& tank) {
  if (tank.floats && tank.quality != "bad") return *tank.floats;
  return is_known(tank) ? percent_text(*tank.percent) : "? " + tank.reason;
}
Ink ink_of_brief(const TankStatus& tank) {
  return is_known(tank) || (tank.floats && tank.quality != "bad") ? Ink::strong : ink_of_unknown(tank);
}

/// A row without a bar: what matters, and as much of the name as there is room for.
void draw_line(Canvas& canvas, const TankStatus& tank, std::size_t row) {
  const auto figure = brief(tank);
  const auto taken = width_of(figure) + 2;
  const auto left = std::min(kTankNameColumns, canvas.columns() - std::min(canvas.columns(), taken));
  if (left > 0) canvas.put({row, 1, left}, tank.name, Ink::strong);
  canvas.put({row, left > 0 ? left + 2 : 0}, figure, ink_of_brief(tank));
}

void draw_bar(Canvas& canvas, const TankStatus& tank, std::size_t row) {
  constexpr std::size_t kBarAt = kTankNameColumns + 2;
  constexpr std::size_t kBar = 20;
  constexpr std::size_t kFigures = kBarAt + kBar + 3;
  constexpr std::size_t kLongestBrief = 16;  // "? out-of-service"
  if (canvas.columns() < kFigures + kLongestBrief) return draw_line(canvas, tank, row);
  canvas.put({row, 1, kTankNameColumns}, tank.name, Ink::strong);
  const auto percent = shown_percent(tank);
  const auto filled = percent ? eighths(*percent, kBar) : 0;
  canvas.put({row, kBarAt, 1}, "│", Ink::dim);
  for (std::size_t i = 0; i < kBar; ++i) {
    const auto share = share_of(filled, i);
    const auto sign = is_known(tank) ? kGrowing.at(share) : share >= 4 ? "░" : " ";
    canvas.put({row, kBarAt + 1 + i, 1}, sign, is_known(tank) ? Ink::water : Ink::dim);
  }
  canvas.put({row, kBarAt + 1 + kBar, 1}, "│", Ink::dim);
  canvas.put({row, kFigures, kLongestBrief}, brief(tank), ink_of_brief(tank));
  if (is_known(tank)) {
    canvas.put({row, kFigures + 9, 8}, fixed(tank.level_m.value_or(0.0), 3) + " m");
    canvas.put({row, kFigures + 18, 9}, litres_text(tank.volume_l.value_or(0.0)));
  } else if (tank.floats) {
    canvas.put({row, kFigures + kLongestBrief + 1, 10}, "by floats", Ink::dim);
  } else if (tank.age_s) {
    canvas.put({row, kFigures + kLongestBrief + 1, 10}, age_text(*tank.age_s), Ink::dim);
  }
  constexpr std::size_t kCaption = 26;
  constexpr std::size_t kOutlook = kFigures + 28 + kCaption;  // beyond 80 columns
  canvas.put({row, kFigures + 28, kCaption - 1}, is_known(tank) ? caption(tank) : tank.quality,
             ink_of_quality(tank));
  const auto rate = rate_text(tank);
  const auto left = outlook(tank);
  canvas.put({row, kOutlook}, rate + (rate.empty() || left.empty() ? "" : ", ") + left, Ink::dim);
}

bool vessels_fit_abreast(const Snapshot& snapshot, std::size_t columns) {
  return snapshot.tanks.size() <= std::min(kMostVessels, columns / kCellColumns);
}
bool vessels_fit(const Snapshot& snapshot, std::size_t rows, std::size_t columns) {
  return vessels_fit_abreast(snapshot, columns) && rows >= kLeastRows + kFrameRows;
}

}  // namespace

std::size_t rows_for_tanks(const Canvas& canvas, const Snapshot& snapshot, std::size_t available) {
  if (snapshot.tanks.empty()) return 0;
  const bool abreast = vessels_fit_abreast(snapshot, canvas.columns());
  return std::min(available, abreast ? kVesselRows + kFrameRows : snapshot.tanks.size());
}

void draw_tanks(Canvas& canvas, const Snapshot& snapshot, std::size_t row, std::size_t rows) {
  const auto& tanks = snapshot.tanks;
  if (vessels_fit(snapshot, rows, canvas.columns())) {
    for (std::size_t i = 0; i < tanks.size(); ++i) {
      draw_vessel(canvas, tanks[i], {row, 1 + i * kCellColumns, rows - kFrameRows});
    }
    return;
  }
  const auto shown = tanks.size() <= rows ? tanks.size() : rows - std::min<std::size_t>(rows, 1);
  for (std::size_t i = 0; i < shown; ++i)
    draw_bar(canvas, tanks[i], row + i);
  if (shown < tanks.size() && rows > 0) {
    canvas.put({row + shown, 1}, more_text(tanks.size() - shown), Ink::dim);
  }
}

}  // namespace stillwell::report
