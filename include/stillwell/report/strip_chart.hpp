#pragma once
// A strip chart as recorders drew them: levels of the tanks over time with their set points, below them when
// each pump ran and each alarm stood. Pure; the same course gives the same bytes.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace stillwell::report {

/// What a level is compared with.
struct StripMark {
  std::string words;
  Metres level{};
  bool is_alarm = false;
};

struct StripTank {
  std::string name;
  Metres full{};
  std::vector<StripMark> marks;
  /// Of each piece of the time the lowest and the highest level; empty where none was known.
  std::vector<std::optional<std::pair<Metres, Metres>>> course;
};

/// Something that is so or not.
struct StripState {
  std::string name;
  bool is_alarm = false;
  std::vector<bool> course;
};

struct StripChart {
  std::string title;
  std::string subtitle;
  Stamp begins{};
  Duration lasts{};
  std::vector<StripTank> tanks;
  std::vector<StripState> states;
};

std::string to_svg(const StripChart& chart);

}  // namespace stillwell::report
