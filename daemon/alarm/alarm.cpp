#include "stillwell/alarm/alarm.hpp"

#include <algorithm>
#include <utility>

namespace stillwell {
namespace {

bool enter(AlarmMemory& memory, AlarmState state, Instant now) {
  memory.state = state;
  memory.since = now;
  return true;
}

void count_rise(AlarmMemory& memory, Instant now) {
  ++memory.raised_count;
  const auto is_old = [now](Instant rise) { return now - rise >= kDay; };
  std::erase_if(memory.raised, is_old);
  if (memory.raised.size() >= kMostRaised) memory.raised.erase(memory.raised.begin());
  memory.raised.push_back(now);
}

bool raise(AlarmMemory& memory, bool latch, Instant now) {
  switch (memory.state) {
    case AlarmState::normal:
    case AlarmState::returned_unacknowledged:
    case AlarmState::latched_unacknowledged:  // latched states are those of a normal process: this is a new
    case AlarmState::latched_acknowledged:    // alarm, and who acknowledged the last one has not seen it
      memory.unreset = latch;
      count_rise(memory, now);
      return enter(memory, AlarmState::unacknowledged, now);
    case AlarmState::unacknowledged:
    case AlarmState::acknowledged:
    case AlarmState::shelved:
    case AlarmState::suppressed:
    case AlarmState::out_of_service: return false;
  }
  return false;
}

bool clear(AlarmMemory& memory, bool latch, Instant now) {
  switch (memory.state) {
    case AlarmState::unacknowledged:
      return enter(memory, latch ? AlarmState::latched_unacknowledged : AlarmState::returned_unacknowledged,
                   now);
    case AlarmState::acknowledged:
      return enter(memory, latch ? AlarmState::latched_acknowledged : AlarmState::normal, now);
    case AlarmState::normal:
    case AlarmState::returned_unacknowledged:
    case AlarmState::latched_unacknowledged:
    case AlarmState::latched_acknowledged:
    case AlarmState::shelved:
    case AlarmState::suppressed:
    case AlarmState::out_of_service: return false;
  }
  return false;
}

/// From aside to normal, or to unacknowledged if the process is abnormal at that moment; a latch that nobody
/// has reset goes on from there to where its return leads.
bool bring_back(AlarmMemory& memory, bool latch, Instant now) {
  const bool latched = latch && memory.unreset;
  memory.shelf.reset();
  enter(memory, AlarmState::normal, now);
  if (!memory.active && !latched) return true;
  raise(memory, latch, now);
  if (!memory.active) clear(memory, latch, now);
  return true;
}

/// Puts aside and brings back. The diagram knows no way from one aside to another but through the states in
/// between; within one scan nobody sees those, so that no rise is counted there.
bool set_aside(AlarmMemory& memory, const Alarm& alarm, Aside aside, Instant now) {
  const AlarmState before = memory.state;
  const bool is_over =
      (before == AlarmState::out_of_service && !aside.out_of_service) ||
      (before == AlarmState::suppressed && (aside.out_of_service || !aside.suppressed)) ||
      (before == AlarmState::shelved && (aside.out_of_service || now >= memory.shelf->until));
  if (is_aside(before) && !is_over) return false;
  if (aside.out_of_service || aside.suppressed) memory.shelf.reset();
  if (aside.out_of_service) return enter(memory, AlarmState::out_of_service, now);
  if (aside.suppressed) return enter(memory, AlarmState::suppressed, now);
  return is_over && bring_back(memory, alarm.latch, now);
}

/// From raise_next(): it rises before its condition is asked.
bool is_news(const AlarmMemory& memory) {
  return memory.active && memory.state == AlarmState::normal;
}

bool is_due_again(const AlarmMemory& memory, const Alarm& alarm, Instant now) {
  return memory.state == AlarmState::acknowledged && alarm.again_after && memory.since &&
         now - *memory.since >= *alarm.again_after;
}

}  // namespace

std::size_t raised_within(const AlarmMemory& memory, Duration time, Instant now) {
  // Oldest first, so that a look at many lists that did not change costs next to nothing.
  const auto is_old = [&](Instant rise) { return now - rise >= time; };
  const auto recent = std::partition_point(memory.raised.begin(), memory.raised.end(), is_old);
  return static_cast<std::size_t>(memory.raised.end() - recent);
}

std::optional<bool> condition(const Alarm& alarm, bool active, const Level& level) {
  // What is not looked at is neither well nor unwell.
  if (level.reason == Reason::out_of_service) return std::nullopt;
  if (alarm.kind == AlarmKind::unwell) return level.quality == Quality::bad;
  if (alarm.kind == AlarmKind::disagree) {
    if (level.reason == Reason::disagree) return true;
    return level.agreeing > 1 ? std::optional{false} : std::nullopt;  // one alone contradicts nobody
  }
  if (!is_of_level(alarm.kind) || !level.usable()) return std::nullopt;
  const Metres limit = active ? alarm.clears_at : alarm.at;
  return is_low(alarm.kind) ? *level.level < limit : *level.level > limit;
}

void judge(AlarmMemory& memory, const Alarm& alarm, std::optional<bool> holds, Instant now) {
  if (is_news(memory)) return;
  if (!holds) {
    memory.delay.pause();
    memory.absent.reset();
    return;
  }
  if (!memory.began && *holds) memory.began = now;
  if (!memory.active) {
    if (!*holds) memory.began.reset();
    memory.active = memory.delay.step(*holds, alarm.after, now);
    if (memory.active && alarm.latch) memory.unreset = true;  // also when nobody is told
    return;
  }
  if (*holds) return memory.absent.reset();
  if (!memory.absent) memory.absent = now;
  if (now - *memory.absent < alarm.clear_after) return;
  memory.active = false;
  memory.absent.reset();
  memory.began.reset();
  memory.delay.restart();
}

bool settle(AlarmMemory& memory, const Alarm& alarm, Aside aside, Instant now) {
  const bool moved = set_aside(memory, alarm, aside, now);
  const bool changed = memory.active ? raise(memory, alarm.latch, now) : clear(memory, alarm.latch, now);
  if (!is_due_again(memory, alarm, now)) return moved || changed;
  count_rise(memory, now);
  return enter(memory, AlarmState::unacknowledged, now);
}

bool follow(AlarmMemory& memory, const Alarm& alarm, std::optional<bool> holds, Aside aside, Instant now) {
  judge(memory, alarm, holds, now);
  return settle(memory, alarm, aside, now);
}

void raise_next(AlarmMemory& memory, Instant now) {
  memory.active = true;
  memory.began = now;
}

bool acknowledge(AlarmMemory& memory, Instant now) {
  switch (memory.state) {
    case AlarmState::unacknowledged: return enter(memory, AlarmState::acknowledged, now);
    case AlarmState::returned_unacknowledged: return enter(memory, AlarmState::normal, now);
    case AlarmState::latched_unacknowledged: return enter(memory, AlarmState::latched_acknowledged, now);
    case AlarmState::normal:
    case AlarmState::acknowledged:
    case AlarmState::latched_acknowledged:
    case AlarmState::shelved:
    case AlarmState::suppressed:
    case AlarmState::out_of_service: return false;
  }
  return false;
}

bool reset(AlarmMemory& memory, Instant now) {
  switch (memory.state) {
    case AlarmState::latched_unacknowledged:
      memory.unreset = false;
      return enter(memory, AlarmState::returned_unacknowledged, now);
    case AlarmState::latched_acknowledged:
      memory.unreset = false;
      return enter(memory, AlarmState::normal, now);
    case AlarmState::normal:
    case AlarmState::unacknowledged:
    case AlarmState::acknowledged:
    case AlarmState::returned_unacknowledged:
    case AlarmState::shelved:
    case AlarmState::suppressed:
    case AlarmState::out_of_service: return false;
  }
  return false;
}

bool shelve(AlarmMemory& memory, Shelf shelf, Instant now) {
  if (is_aside(memory.state)) return false;
  memory.shelf = std::move(shelf);
  return enter(memory, AlarmState::shelved, now);
}

bool unshelve(AlarmMemory& memory, const Alarm& alarm, Instant now) {
  return memory.state == AlarmState::shelved && bring_back(memory, alarm.latch, now);
}

}  // namespace stillwell
