#include "stillwell/alarm/figures.hpp"

namespace stillwell {
namespace {

bool stands(const AlarmMemory& memory) {
  return memory.active && !is_aside(memory.state);
}

/// After a restart without a clock nobody knows when its condition began.
std::optional<Instant> stands_since(const AlarmMemory& memory) {
  return memory.began ? memory.began : memory.since;
}

void count_standing(AlarmFigures& figures, const Alarm& alarm, const AlarmMemory& memory) {
  if (!stands(memory)) return;
  ++figures.standing;
  const auto since = stands_since(memory);
  if (!since || (figures.longest_standing && figures.longest_standing->since <= *since)) return;
  figures.longest_standing = {alarm.id, *since};
}

void count_rises(AlarmFigures& figures, const Alarm& alarm, const AlarmMemory& memory, Instant now) {
  const std::size_t today = raised_within(memory, kDay, now);
  if (today == 0) return;  // of most alarms on most days
  figures.last_day += today;
  figures.last_ten_minutes += raised_within(memory, kFloodTime, now);
  if (figures.most_frequent && figures.most_frequent->count >= today) return;
  figures.most_frequent = {alarm.id, today};
}

}  // namespace

AlarmFigures alarm_figures(const std::vector<Alarm>& alarms, const std::vector<AlarmMemory>& memories,
                           bool flood, Instant now) {
  AlarmFigures figures{.flood = flood};
  for (std::size_t at = 0; at < alarms.size(); ++at) {
    count_standing(figures, alarms[at], memories[at]);
    count_rises(figures, alarms[at], memories[at], now);
  }
  return figures;
}

std::size_t raised_within(const std::vector<AlarmMemory>& memories, Duration time, Instant now) {
  std::size_t count = 0;
  for (const AlarmMemory& memory : memories)
    count += raised_within(memory, time, now);
  return count;
}

bool is_flood(bool before, std::size_t last_ten_minutes) {
  return before ? last_ten_minutes >= kFloodEnds : last_ten_minutes > kFloodBegins;
}

std::optional<std::size_t> first_of_flood(const std::vector<AlarmMemory>& memories, Instant now) {
  std::optional<std::size_t> first;
  Instant earliest{};
  for (std::size_t at = 0; at < memories.size(); ++at) {
    const std::size_t recent = raised_within(memories[at], kFloodTime, now);
    if (recent == 0) continue;
    const Instant rise = memories[at].raised[memories[at].raised.size() - recent];
    if (first && earliest <= rise) continue;
    first = at;
    earliest = rise;
  }
  return first;
}

}  // namespace stillwell
