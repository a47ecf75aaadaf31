#pragma once
// What is at which height of a tank: its sensors, its full line and floor, the set points of its alarms and
// of every pump that touches it. From the configuration alone, and the same rows for text, table and drawing.

#include "stillwell/report/sheet.hpp"
#include "stillwell/site/model.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

enum class SectionKind : std::uint8_t {
  sensor,       ///< where a sensor's face, or a submerged sensor, is
  blanking,     ///< above this a sensor cannot see; `until`: its face
  reach,        ///< beyond this it cannot see
  top,          ///< where the inside ends
  full,         ///< full line
  alarm,        ///< `until`: where it clears
  start,        ///< a pump starts
  second,       ///< a second pump of a set starts
  stop,         ///< a pump stops
  high_trip,    ///< it trips by a level that is too high; `until`: from where it may run again
  source_trip,  ///< it trips by a suction that is too low; `until` likewise
  turns,        ///< a float turns
  unusable,     ///< the outlet
  gauge_floor,  ///< the floor below the gauge, where it is not the lowest point
  floor,        ///< the lowest point inside
};
std::string_view to_word(SectionKind kind);

struct SectionRow {
  SectionKind kind{};
  std::string of;                  ///< the gauge, alarm, pump, set or float; empty: the tank
  std::optional<Metres> height{};  ///< above the lowest point inside; empty where nobody said
  std::optional<Metres> until{};   ///< the other end of its deadband or zone
  std::string text;                ///< in words, without the height
};

/// From the top down; what has no height comes last. Of a tank that floats keep none has one, and its floats
/// stand in the order in which they hang.
std::vector<SectionRow> section_rows(const Model& model, TankIndex tank);

/// With heights, shares and contents, for a terminal. `source` names the configuration.
Sheet section_sheet(const Model& model, TankIndex tank, const std::string& source);

}  // namespace stillwell::report
