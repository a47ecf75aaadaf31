#pragma once
// What is told of alarms: what, where, the number, the limit, and what to do. Made from the rows of the alarm
// kinds and of the causes, so that the journal, the broker and the terminal tell one story.

#include "stillwell/alarm/alarm.hpp"
#include "stillwell/site/event.hpp"
#include "stillwell/site/model.hpp"
#include "stillwell/tank/night_flow.hpp"
#include "stillwell/tank/slope.hpp"

#include <optional>
#include <string>

namespace stillwell {

/// What an alarm was judged by; each kind has its own.
struct AlarmGrounds {
  std::optional<Level> level{};
  std::optional<Night> night{};  ///< the last one that told
  std::optional<LevelRate> rate{};
  std::optional<Cause> cause{};
  std::string trouble{};     ///< of a line, in words
  std::string numbers{};     ///< what it was held against, and what hangs on it; in words
  std::string brought_by{};  ///< the alarm whose consequence it is; empty: it came first
};

/// A change of an alarm's state.
Event tell_alarm(const Model& model, const Alarm& alarm, const AlarmMemory& memory,
                 const AlarmGrounds& grounds);

/// "Header tank": the name of what an alarm is about.
std::string subject_name(const Model& model, const Alarm& alarm);
/// Its set point as people read it, "0.367 m (15 %)"; empty for kinds that have none.
std::string limit_text(const Model& model, const Alarm& alarm);

}  // namespace stillwell
