#pragma once
// The kinds of alarms, once: what each is about, what it says and what to do. The journal, the broker, the
// terminal and the documentation read these rows. What a pump's alarms say beyond them stands in the cause
// table (pump/causes.hpp).

#include <cstdint>
#include <span>
#include <string_view>

namespace stillwell {

enum class AlarmKind : std::uint8_t {
  // Of a tank; the level alarms from the bottom up.
  low_low,
  low,
  high,
  high_high,
  rising,
  falling,
  leak,
  unwell,
  disagree,
  float_high,
  // Of a pump.
  tripped,
  locked_out,
  stuck_on,
  no_feedback,
  // Of a contact, a line, the gateway itself.
  contact_unreachable,
  line_down,
  state_file,
  clock,
};

/// What an alarm can be about.
enum class Subject : std::uint8_t { tank, pump, contact, line, gateway };

struct KindRow {
  AlarmKind kind;
  std::string_view word;  ///< as users see it
  Subject of;
  std::string_view text;  ///< what it means
  std::string_view advice;
};

/// All rows, in the order of AlarmKind.
std::span<const KindRow> kind_table();
const KindRow& row_of(AlarmKind kind);
std::string_view to_word(AlarmKind kind);

/// Whether it watches the level against a set point.
constexpr bool is_of_level(AlarmKind kind) {
  return kind <= AlarmKind::high_high;
}
constexpr bool is_low(AlarmKind kind) {
  return kind <= AlarmKind::low;
}
constexpr bool is_of_rate(AlarmKind kind) {
  return kind == AlarmKind::rising || kind == AlarmKind::falling;
}

}  // namespace stillwell
