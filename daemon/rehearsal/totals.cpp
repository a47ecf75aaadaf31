#include "stillwell/rehearsal/totals.hpp"

#include <algorithm>

namespace stillwell::rehearsal {
Totals::Totals(const Model& model) : model_{model}, stands_(model.alarms.size(), false) {
  for (const Tank& tank : model.tanks)
    tanks_.push_back({.id = tank.id, .lowest = {}, .highest = {}});
  for (const Pump& pump : model.pumps)
    pumps_.push_back({.id = pump.id, .moved = {}, .trips = {}});
  for (const Alarm& alarm : model.alarms)
    alarms_.push_back({.id = alarm.id});
}

void Totals::add(const Scanned& scanned) {
  const View& view = scanned.outcome.view;
  for (std::size_t at = 0; at < tanks_.size(); ++at) {
    TankTotals& tank = tanks_[at];
    const Level& level = view.tanks[at].level;
    if (!level.usable()) {
      tank.unknown += model_.scan;
      continue;
    }
    tank.lowest = std::min(tank.lowest.value_or(*level.level), *level.level);
    tank.highest = std::max(tank.highest.value_or(*level.level), *level.level);
  }
  for (std::size_t at = 0; at < pumps_.size(); ++at) {
    const PumpView& pump = view.pumps[at];
    pumps_[at].starts = pump.start_count;
    pumps_[at].ran = pump.run_time;
    pumps_[at].moved = pump.moved;
  }
  for (std::size_t at = 0; at < alarms_.size(); ++at) {
    const bool now = stands(view.alarms[at].state);
    if (now && !stands_[at]) ++alarms_[at].raised;
    if (now) alarms_[at].stood += model_.scan;
    stands_[at] = now;
  }
  for (const Event& event : scanned.outcome.events) {
    const auto pump =
        std::find_if(pumps_.begin(), pumps_.end(), [&](const auto& one) { return one.id == event.of; });
    if (pump == pumps_.end()) continue;
    if (event.kind == EventKind::trip) ++pump->trips[event.cause];
    if (event.kind == EventKind::lockout) ++pump->lock_outs;
  }
}

}  // namespace stillwell::rehearsal
