#pragma once
// Something that happened, as the journal tells it.

#include "stillwell/alarm/alarm.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace stillwell {

enum class EventKind : std::uint8_t { trip, lockout, start, stop, alarm, command, quality, service };

std::string_view to_word(EventKind kind);

struct Event {
  EventKind kind = EventKind::service;
  std::string of;     ///< the tank, pump, alarm, gauge or the site itself
  std::string cause;  ///< a word of the cause table, a reason, an alarm state; never empty
  std::string text;   ///< a sentence for a person: what, where, the number, the limit, what to do
  std::vector<std::pair<std::string, double>> values;  ///< named with their unit: "level_m", "limit_m"
  std::optional<Priority> priority{};  ///< of an alarm as configured; of a lock-out always high
};

}  // namespace stillwell
