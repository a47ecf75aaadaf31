#include "stillwell/alarm/alarm.hpp"

namespace stillwell {

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
    case AlarmState::shelved: return "shelved";
    case AlarmState::suppressed: return "suppressed";
    case AlarmState::out_of_service: return "out-of-service";
  }
  return "unacknowledged";
}

}  // namespace stillwell
