#include "stillwell/site/kept.hpp"

#include <algorithm>

namespace stillwell {
namespace {

KeptPump keep(const Pump& pump, const PumpMemory& memory, Instant now) {
  const auto recent = std::count_if(memory.starts.begin(), memory.starts.end(),
                                    [now](Instant start) { return now - start < kHour; });
  return {.id = pump.id,
          .mode = memory.mode == Mode::hand ? memory.after_hand : memory.mode,
          .lock_out = memory.lock_out,
          .first_out = memory.first_out,
          .tripped = memory.tripped,
          .feedback_failures = memory.feedback_failures,
          .dry_failures = memory.dry_run.failures,
          .dry_cause = memory.dry_run.cause,
          .out_of_service = memory.out_of_service,
          .released = memory.released,
          .recent_starts = static_cast<std::size_t>(recent) + (memory.noted_start ? 1 : 0),
          .run_time = memory.run_time,
          .start_count = memory.start_count + (memory.noted_start ? 1 : 0),
          .off_by_network = memory.off_by_network,
          .reset_by_network = memory.reset_by_network,
          .started_at = memory.started_at,
          .stopped_at = memory.stopped_at};
}

void restore(const KeptPump& kept, const Pump& pump, PumpMemory& memory, Instant now) {
  memory.mode = kept.mode;
  memory.lock_out = kept.lock_out;
  // What moved its tank unasked may move it still.
  memory.moves_unasked = pump.unasked && kept.lock_out == Cause::stuck_on;
  memory.first_out = kept.first_out;
  memory.tripped = kept.tripped;
  memory.feedback_failures = kept.feedback_failures;
  memory.dry_run = {.mark = {},
                    .idle = {},
                    .trickle = {},
                    .failures = kept.dry_failures,
                    .cause = kept.dry_cause,
                    .rests_until = now + rest_after(pump.dry_run.retry, kept.dry_failures)};
  memory.out_of_service = kept.out_of_service;
  memory.released = kept.released;
  memory.starts.assign(kept.recent_starts, now);
  memory.run_time = kept.run_time;
  memory.start_count = kept.start_count;
  memory.off_by_network = kept.off_by_network;
  memory.reset_by_network = kept.reset_by_network;
  memory.started_at = kept.started_at;
  memory.stopped_at = kept.stopped_at;
}

KeptAlarm keep(const Alarm& alarm, const AlarmMemory& memory) {
  KeptAlarm kept{.id = alarm.id,
                 .state = memory.state,
                 .active = memory.active,
                 .unreset = memory.unreset,
                 .heard = memory.heard,
                 .since = memory.since,
                 .began = memory.active ? memory.began : std::nullopt,
                 .raised = memory.raised,
                 .raised_count = memory.raised_count};
  if (!memory.shelf) return kept;
  kept.shelved_until = memory.shelf->until;
  kept.shelved_because = memory.shelf->because;
  return kept;
}

/// What an instant of the last run is in this one; empty when the clock cannot tell.
using Shift = std::optional<Duration>;

Shift shift_of(const Kept& kept, Instant now, std::optional<Duration> away) {
  if (!kept.since || !away) return {};
  return (now - *away) - *kept.since;
}

std::optional<Instant> shifted(const std::optional<Instant>& instant, const Shift& shift) {
  if (!instant || !shift) return {};
  return *instant + *shift;
}

void restore(const KeptAlarm& kept, AlarmMemory& memory, const Shift& shift, Instant now) {
  memory.state = kept.state;
  memory.active = kept.active;
  memory.unreset = kept.unreset;
  memory.heard = kept.heard;
  if (kept.since) memory.since = shifted(kept.since, shift).value_or(now);
  memory.began = shifted(kept.began, shift);
  memory.raised_count = kept.raised_count;
  for (const Instant rise : kept.raised) {
    if (shift) memory.raised.push_back(rise + *shift);
  }
  if (kept.state != AlarmState::shelved) return;
  memory.shelf = {shifted(kept.shelved_until, shift).value_or(now), kept.shelved_because};
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

KeptAccounts kept_accounts(const Model& model, const Memory& memory, Instant now) {
  const Accounts& accounts = memory.accounts;
  KeptAccounts kept;
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    kept.tanks.push_back({model.tanks[at].id, accounts.tanks[at].account, accounts.tanks[at].night});
  }
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const PumpAccounts& books = accounts.pumps[at];
    const PumpMemory& pump = memory.pumps[at];
    const Duration ran_on = pump.order == Order::on ? now - pump.ordered_at : Duration{0};
    kept.work.push_back({model.pumps[at].id, books.moved, books.wear, books.energy.used, ran_on});
  }
  return kept;
}

template <class List>
auto find_by_id(const List& list, const std::string& id) {
  return std::find_if(list.begin(), list.end(), [&](const auto& item) { return item.id == id; });
}

void restore(const Model& model, const KeptAccounts& kept, std::optional<Stamp> kept_at, Memory& memory) {
  Accounts& accounts = memory.accounts;
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    const auto found = find_by_id(kept.tanks, model.tanks[at].id);
    if (found == kept.tanks.end()) continue;
    accounts.tanks[at].account = found->account;
    accounts.tanks[at].night = found->night;
  }
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const auto found = find_by_id(kept.work, model.pumps[at].id);
    if (found == kept.work.end()) continue;
    accounts.pumps[at].moved = found->moved;
    accounts.pumps[at].wear = found->wear;
    accounts.pumps[at].energy = {.used = found->used, .last = {}};
    memory.pumps[at].run_time += found->ran_on;
    // It ended untold, some time after that.
    if (found->ran_on > Duration{0} && kept_at) memory.pumps[at].stopped_at = kept_at;
  }
}

}  // namespace

bool Kept::guards_as(const Kept& other) const {
  const auto same_doubt = [](const KeptGauge& a, const KeptGauge& b) {
    return a.id == b.id && a.doubting() == b.doubting();
  };
  return pumps == other.pumps && alarms == other.alarms && tanks_out == other.tanks_out &&
         std::equal(gauges.begin(), gauges.end(), other.gauges.begin(), other.gauges.end(), same_doubt);
}

Kept keep(const Model& model, const Memory& memory, Instant now) {
  Kept kept;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    kept.pumps.push_back(keep(model.pumps[at], memory.pumps[at], now));
  }
  for (std::size_t at = 0; at < model.sets.size(); ++at) {
    const auto& members = model.sets[at].pumps;
    const auto is_about_to = [&](PumpIndex pump) { return memory.pumps[pump.at].noted_start.has_value(); };
    const auto next = std::find_if(members.begin(), members.end(), is_about_to);
    const auto last = next != members.end() ? std::optional{*next} : memory.sets[at].last_started;
    if (last) kept.pumps[last->at].started_last = true;
  }
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    kept.alarms.push_back(keep(model.alarms[at], memory.alarms[at]));
  }
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    if (memory.tanks_out[at]) kept.tanks_out.push_back(model.tanks[at].id);
  }
  for (const Tank& tank : model.tanks) {
    for (const TankGauge& one : tank.gauges)
      kept.gauges.push_back(keep(model.gauges[one.gauge.at], one.mounting, memory.gauges[one.gauge.at]));
  }
  kept.accounts = kept_accounts(model, memory, now);
  return kept;
}

void restore(const Model& model, const Kept& kept, Memory& memory, Instant now,
             std::optional<Duration> away) {
  const Shift shift = shift_of(kept, now, away);
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const auto found = find_by_id(kept.pumps, model.pumps[at].id);
    if (found != kept.pumps.end()) restore(*found, model.pumps[at], memory.pumps[at], now);
  }
  for (std::size_t at = 0; at < model.sets.size(); ++at) {
    for (const PumpIndex pump : model.sets[at].pumps) {
      const auto found = find_by_id(kept.pumps, model.pumps[pump.at].id);
      if (found != kept.pumps.end() && found->started_last) memory.sets[at].last_started = pump;
    }
  }
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    const auto found = find_by_id(kept.alarms, model.alarms[at].id);
    if (found != kept.alarms.end()) restore(*found, memory.alarms[at], shift, now);
  }
  // A flood that was told of is not told of again.
  memory.flood = is_flood(false, raised_within(memory.alarms, kFloodTime, now));
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    const auto& out = kept.tanks_out;
    memory.tanks_out[at] = std::find(out.begin(), out.end(), model.tanks[at].id) != out.end();
  }
  for (const Tank& tank : model.tanks) {
    for (const TankGauge& one : tank.gauges) {
      const auto found = find_by_id(kept.gauges, model.gauges[one.gauge.at].id);
      if (found != kept.gauges.end())
        restore(*found, tank, one.mounting, memory.gauges[one.gauge.at], now, away);
    }
  }
  restore(model, kept.accounts, kept.written, memory);
}

std::vector<std::string> heirless(const Model& model, const Kept& kept) {
  std::vector<std::string> ids;
  for (const KeptPump& pump : kept.pumps) {
    const bool was_held = pump.lock_out || pump.released || pump.out_of_service || pump.mode == Mode::off;
    if (was_held && find_by_id(model.pumps, pump.id) == model.pumps.end()) ids.push_back(pump.id);
  }
  return ids;
}

std::vector<std::string> switch_off_newcomers(const Model& model, const Kept& kept, Memory& memory) {
  std::vector<std::string> ids;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    if (find_by_id(kept.pumps, model.pumps[at].id) != kept.pumps.end()) continue;
    set_mode(memory.pumps[at], Mode::off);
    ids.push_back(model.pumps[at].id);
  }
  return ids;
}

void spend_starts(const Model& model, Memory& memory, Instant now) {
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const auto most = static_cast<std::size_t>(std::max(model.pumps[at].limits.starts_per_hour, 0));
    auto& starts = memory.pumps[at].starts;
    starts.assign(std::max(most, starts.size()), now);
  }
}

void distrust(const Model& model, Memory& memory, Instant now) {
  for (PumpMemory& pump : memory.pumps)
    set_mode(pump, Mode::off);
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    if (model.alarms[at].kind == AlarmKind::state_file) raise_next(memory.alarms[at], now);
  }
}

}  // namespace stillwell
