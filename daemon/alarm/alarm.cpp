#include "stillwell/alarm/alarm.hpp"

namespace stillwell {
namespace {

void enter(AlarmMemory& memory, AlarmState state, Instant now) {
  memory.state = state;
  memory.since = now;
}

bool raise(AlarmMemory& memory, Instant now) {
  switch (memory.state) {
    case AlarmState::normal:
    case AlarmState::returned_unacknowledged:
    case AlarmState::latched_unacknowledged:  // latched states are those of a normal process: this is a new
    case AlarmState::latched_acknowledged:    // alarm, and who acknowledged the last one has not seen it
      enter(memory, AlarmState::unacknowledged, now);
      return true;
    case AlarmState::unacknowledged:
    case AlarmState::acknowledged: return false;
  }
  return false;
}

bool clear(AlarmMemory& memory, bool latch, Instant now) {
  switch (memory.state) {
    case AlarmState::unacknowledged:
      enter(memory, latch ? AlarmState::latched_unacknowledged : AlarmState::returned_unacknowledged, now);
      return true;
    case AlarmState::acknowledged:
      enter(memory, latch ? AlarmState::latched_acknowledged : AlarmState::normal, now);
      return true;
    case AlarmState::normal:
    case AlarmState::returned_unacknowledged:
    case AlarmState::latched_unacknowledged:
    case AlarmState::latched_acknowledged: return false;
  }
  return false;
}

}  // namespace

std::optional<bool> condition(const Alarm& alarm, bool active, const Level& level) {
  if (alarm.kind == AlarmKind::unwell) return level.quality == Quality::bad;
  if (!is_of_level(alarm.kind) || !level.usable()) return std::nullopt;
  const Metres limit = active ? alarm.clears_at : alarm.at;
  const bool is_low = alarm.kind == AlarmKind::low || alarm.kind == AlarmKind::low_low;
  return is_low ? *level.level < limit : *level.level > limit;
}

bool follow(AlarmMemory& memory, const Alarm& alarm, const Level& level, Instant now) {
  return follow(memory, alarm, condition(alarm, memory.active, level), now);
}

bool follow(AlarmMemory& memory, const Alarm& alarm, std::optional<bool> holds, Instant now) {
  if (!holds) {
    memory.delay.pause();
    return false;
  }
  if (memory.active) {
    if (*holds) return raise(memory, now);  // standing, also when it was reset before its cause had gone
    memory.active = false;
    memory.delay.restart();
    return clear(memory, alarm.latch, now);
  }
  if (!memory.delay.step(*holds, alarm.after, now)) return false;
  memory.active = true;
  return raise(memory, now);
}

bool acknowledge(AlarmMemory& memory, Instant now) {
  switch (memory.state) {
    case AlarmState::unacknowledged: enter(memory, AlarmState::acknowledged, now); return true;
    case AlarmState::returned_unacknowledged: enter(memory, AlarmState::normal, now); return true;
    case AlarmState::latched_unacknowledged:
      enter(memory, AlarmState::latched_acknowledged, now);
      return true;
    case AlarmState::normal:
    case AlarmState::acknowledged:
    case AlarmState::latched_acknowledged: return false;
  }
  return false;
}

bool reset(AlarmMemory& memory, Instant now) {
  switch (memory.state) {
    case AlarmState::latched_unacknowledged:
      enter(memory, AlarmState::returned_unacknowledged, now);
      return true;
    case AlarmState::latched_acknowledged: enter(memory, AlarmState::normal, now); return true;
    case AlarmState::normal:
    case AlarmState::unacknowledged:
    case AlarmState::acknowledged:
    case AlarmState::returned_unacknowledged: return false;
  }
  return false;
}

}  // namespace stillwell
