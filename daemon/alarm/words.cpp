#include "stillwell/alarm/alarm.hpp"

namespace stillwell {

std::string_view to_word(AlarmKind kind) {
  switch (kind) {
    case AlarmKind::low_low: return "low-low";
    case AlarmKind::low: return "low";
    case AlarmKind::high: return "high";
    case AlarmKind::high_high: return "high-high";
    case AlarmKind::unwell: return "unwell";
    case AlarmKind::leak: return "leak";
  }
  return "unwell";
}

bool is_of_level(AlarmKind kind) {
  return kind != AlarmKind::unwell && kind != AlarmKind::leak;
}

std::string_view to_word(Priority priority) {
  switch (priority) {
    case Priority::low: return "low";
    case Priority::medium: return "medium";
    case Priority::high: return "high";
  }
  return "high";
}

std::string_view to_word(AlarmState state) {
  switch (state) {
    case AlarmState::normal: return "normal";
    case AlarmState::unacknowledged: return "unacknowledged";
    case AlarmState::acknowledged: return "acknowledged";
    case AlarmState::returned_unacknowledged: return "returned-unacknowledged";
    case AlarmState::latched_unacknowledged: return "latched-unacknowledged";
    case AlarmState::latched_acknowledged: return "latched-acknowledged";
  }
  return "unacknowledged";
}

}  // namespace stillwell
