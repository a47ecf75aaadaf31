#include "stillwell/site/kept.hpp"

#include <algorithm>

namespace stillwell {
namespace {

constexpr Duration kHour = std::chrono::hours{1};

KeptPump keep(const Pump& pump, const PumpMemory& memory, Instant now) {
  const auto recent = std::count_if(memory.starts.begin(), memory.starts.end(),
                                    [now](Instant start) { return now - start < kHour; });
  return {.id = pump.id,
          .mode = memory.mode,
          .lock_out = memory.lock_out,
          .first_out = memory.first_out,
          .feedback_failures = memory.feedback_failures,
          .recent_starts = static_cast<std::size_t>(recent),
          .run_time = memory.run_time,
          .start_count = memory.start_count};
}

void restore(const KeptPump& kept, PumpMemory& memory, Instant now) {
  memory.mode = kept.mode;
  memory.lock_out = kept.lock_out;
  memory.first_out = kept.first_out;
  memory.feedback_failures = kept.feedback_failures;
  memory.starts.assign(kept.recent_starts, now);
  memory.run_time = kept.run_time;
  memory.start_count = kept.start_count;
}

template <class List>
auto find(const List& list, const std::string& id) {
  return std::find_if(list.begin(), list.end(), [&](const auto& item) { return item.id == id; });
}

}  // namespace

Kept keep(const Model& model, const Memory& memory, Instant now) {
  Kept kept;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    kept.pumps.push_back(keep(model.pumps[at], memory.pumps[at], now));
  }
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    const AlarmMemory& alarm = memory.alarms[at];
    kept.alarms.push_back({.id = model.alarms[at].id, .state = alarm.state, .active = alarm.active});
  }
  return kept;
}

void restore(const Model& model, const Kept& kept, Memory& memory, Instant now) {
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const auto found = find(kept.pumps, model.pumps[at].id);
    if (found != kept.pumps.end()) restore(*found, memory.pumps[at], now);
  }
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    const auto found = find(kept.alarms, model.alarms[at].id);
    if (found == kept.alarms.end()) continue;
    memory.alarms[at].state = found->state;
    memory.alarms[at].active = found->active;
    memory.alarms[at].since = now;
  }
}

void distrust(Memory& memory) {
  for (PumpMemory& pump : memory.pumps)
    set_mode(pump, Mode::off);
}

}  // namespace stillwell
