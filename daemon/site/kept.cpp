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

KeptGauge keep(const Gauge& gauge, const Mounting& mounting, const GaugeMemory& memory) {
  return {.id = gauge.id,
          .to_floor = mounting.to_floor,
          .level = memory.motion.accepted,
          .fence_above = memory.motion.fence_above,
          .fence_below = memory.motion.fence_below,
          .frozen = memory.frozen.frozen};
}

void restore(const KeptGauge& kept, const Tank& tank, const Mounting& mounting, GaugeMemory& memory,
             Instant now, std::optional<Duration> away) {
  if (!kept.level || kept.to_floor != mounting.to_floor) return;
  MotionMemory& motion = memory.motion;
  motion = {.accepted = kept.level, .lowest = *kept.level, .highest = *kept.level, .at = now};
  if (away && tank.fastest) {
    memory.accepted = kept.level;
    memory.accepted_at = now - *away;
    motion.at = *memory.accepted_at;
    let_move(motion, now, {*tank.fastest, *tank.fastest});
  } else {
    motion.lowest = -mounting.margin;
    motion.highest = mounting.full + mounting.margin;
  }
  if (kept.frozen)
    memory.frozen = {.at = now, .lowest_seen = *kept.level, .highest_seen = *kept.level, .frozen = true};
  motion.fence_above = kept.fence_above;
  motion.fence_below = kept.fence_below;
}

KeptAccounts keep(const Model& model, const Accounts& accounts) {
  KeptAccounts kept;
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    kept.tanks.push_back({model.tanks[at].id, accounts.tanks[at].account, accounts.tanks[at].night});
  }
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    kept.work.push_back({model.pumps[at].id, accounts.pumps[at].moved, accounts.pumps[at].wear});
  }
  return kept;
}

template <class List>
auto find(const List& list, const std::string& id) {
  return std::find_if(list.begin(), list.end(), [&](const auto& item) { return item.id == id; });
}

void restore(const Model& model, const KeptAccounts& kept, Accounts& accounts) {
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    const auto found = find(kept.tanks, model.tanks[at].id);
    if (found == kept.tanks.end()) continue;
    accounts.tanks[at].account = found->account;
    accounts.tanks[at].night = found->night;
  }
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const auto found = find(kept.work, model.pumps[at].id);
    if (found == kept.work.end()) continue;
    accounts.pumps[at].moved = found->moved;
    accounts.pumps[at].wear = found->wear;
  }
}

}  // namespace

bool Kept::guards_as(const Kept& other) const {
  const auto same_doubt = [](const KeptGauge& a, const KeptGauge& b) {
    return a.id == b.id && a.doubting() == b.doubting();
  };
  return pumps == other.pumps && alarms == other.alarms &&
         std::equal(gauges.begin(), gauges.end(), other.gauges.begin(), other.gauges.end(), same_doubt);
}

Kept keep(const Model& model, const Memory& memory, Instant now) {
  Kept kept;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    kept.pumps.push_back(keep(model.pumps[at], memory.pumps[at], now));
  }
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    const AlarmMemory& alarm = memory.alarms[at];
    kept.alarms.push_back({.id = model.alarms[at].id, .state = alarm.state, .active = alarm.active});
  }
  for (const Tank& tank : model.tanks) {
    for (const TankGauge& one : tank.gauges)
      kept.gauges.push_back(keep(model.gauges[one.gauge.at], one.mounting, memory.gauges[one.gauge.at]));
  }
  kept.accounts = keep(model, memory.accounts);
  return kept;
}

void restore(const Model& model, const Kept& kept, Memory& memory, Instant now,
             std::optional<Duration> away) {
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
  for (const Tank& tank : model.tanks) {
    for (const TankGauge& one : tank.gauges) {
      const auto found = find(kept.gauges, model.gauges[one.gauge.at].id);
      if (found != kept.gauges.end())
        restore(*found, tank, one.mounting, memory.gauges[one.gauge.at], now, away);
    }
  }
  restore(model, kept.accounts, memory.accounts);
}

void distrust(Memory& memory) {
  for (PumpMemory& pump : memory.pumps)
    set_mode(pump, Mode::off);
}

}  // namespace stillwell
