#include "stillwell/pump/motor_starts.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

namespace stillwell {
namespace {

/// Nameplates are rounded: 746 W is 1 hp.
constexpr double kRounding = 1.001;

struct Cell {
  double starts_per_hour;  // A
  int rest_s;              // C
};
struct StartsRow {
  double horsepower;
  std::array<Cell, 3> by_poles;  // 2, 4, 6
};

constexpr std::array kStartsRows{
    StartsRow{1.0, {{{15.0, 75}, {30.0, 38}, {34.0, 33}}}},
    StartsRow{1.5, {{{12.9, 76}, {25.7, 38}, {29.1, 34}}}},
    StartsRow{2.0, {{{11.5, 77}, {23.0, 39}, {26.1, 35}}}},
    StartsRow{3.0, {{{9.9, 80}, {19.8, 40}, {22.4, 36}}}},
    StartsRow{5.0, {{{8.1, 83}, {16.3, 42}, {18.4, 37}}}},
    StartsRow{7.5, {{{7.0, 88}, {13.9, 44}, {15.8, 39}}}},
    StartsRow{10.0, {{{6.2, 92}, {12.5, 46}, {14.2, 41}}}},
    StartsRow{15.0, {{{5.4, 100}, {10.7, 50}, {12.1, 44}}}},
    StartsRow{20.0, {{{4.8, 110}, {9.6, 55}, {10.9, 48}}}},
    StartsRow{25.0, {{{4.4, 115}, {8.8, 58}, {10.0, 51}}}},
    StartsRow{30.0, {{{4.1, 120}, {8.2, 60}, {9.3, 53}}}},
    StartsRow{40.0, {{{3.7, 130}, {7.4, 65}, {8.4, 57}}}},
    StartsRow{50.0, {{{3.4, 145}, {6.8, 72}, {7.7, 64}}}},
    StartsRow{60.0, {{{3.2, 170}, {6.3, 85}, {7.2, 75}}}},
    StartsRow{75.0, {{{2.9, 180}, {5.8, 90}, {6.6, 79}}}},
    StartsRow{100.0, {{{2.6, 220}, {5.2, 110}, {5.9, 97}}}},
    StartsRow{125.0, {{{2.4, 275}, {4.8, 140}, {5.4, 120}}}},
    StartsRow{150.0, {{{2.2, 320}, {4.5, 160}, {5.1, 140}}}},
    StartsRow{200.0, {{{2.0, 600}, {4.0, 300}, {4.5, 265}}}},
    StartsRow{250.0, {{{1.8, 1000}, {3.7, 500}, {4.2, 440}}}},
};

}  // namespace

std::optional<MotorStarts> starts_of(const MotorPlate& motor) {
  if (motor.poles != 2 && motor.poles != 4 && motor.poles != 6) return std::nullopt;
  const auto row = std::find_if(kStartsRows.begin(), kStartsRows.end(), [&](const StartsRow& one) {
    return motor.rated <= Watts{one.horsepower * kWattsPerHorsepower} * kRounding;
  });
  if (row == kStartsRows.end()) return std::nullopt;
  const Cell& cell = row->by_poles.at(static_cast<std::size_t>(motor.poles / 2 - 1));
  return MotorStarts{row->horsepower, PerHour{cell.starts_per_hour}, std::chrono::seconds{cell.rest_s}};
}

}  // namespace stillwell
