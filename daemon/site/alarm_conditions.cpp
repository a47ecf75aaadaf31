#include "stillwell/site/alarms.hpp"
#include "stillwell/site/float_levels.hpp"
#include "stillwell/site/service.hpp"

#include <algorithm>

namespace stillwell {
namespace {

constexpr std::uint64_t kFailuresInARow = 3;

/// Upwards for rising, downwards for falling. A rate that cannot be told from standstill is none.
std::optional<bool> moves_too_fast(const Alarm& alarm, bool active, const std::optional<LevelRate>& rate) {
  if (!rate) return std::nullopt;
  if (!rate->is_meaningful()) return false;
  const MetresPerSecond limit = active ? alarm.clears_below : alarm.faster_than;
  return alarm.kind == AlarmKind::rising ? rate->slope > limit : -rate->slope > limit;
}

/// Asked of the high float alone: water that has reached it is too high, whatever the others say.
std::optional<bool> float_is_reached(const AlarmSight& sight, TankIndex tank) {
  const auto& floats = sight.model.tanks[tank.at].floats;
  if (!floats || !floats->high || sight.memory.tanks_out[tank.at]) return std::nullopt;
  return states_of(sight.model, sight.memory, *floats, sight.now).high->on;
}

std::optional<bool> tank_condition(const AlarmSight& sight, const Alarm& alarm, TankIndex tank, bool active) {
  if (alarm.kind == AlarmKind::leak) {
    const auto& night = sight.memory.accounts.tanks[tank.at].night;
    return night ? std::optional{night->leak} : std::nullopt;
  }
  if (alarm.kind == AlarmKind::float_high) return float_is_reached(sight, tank);
  if (is_of_rate(alarm.kind)) return moves_too_fast(alarm, active, rate_of(sight, tank));
  return condition(alarm, active, sight.levels[tank.at]);
}

/// Of a pump that a person switched off a trip asks nothing of anybody.
bool pump_condition(const PumpMemory& pump, AlarmKind kind) {
  switch (kind) {
    case AlarmKind::tripped: return pump.tripped && !pump.lock_out && pump.mode != Mode::off;
    case AlarmKind::locked_out: return pump.lock_out.has_value();
    case AlarmKind::stuck_on: return pump.refusal == Cause::stuck_on || pump.lock_out == Cause::stuck_on;
    case AlarmKind::no_feedback: return pump.feedback_failures > 0;
    default: return false;
  }
}

/// A contact is judged by what it belongs to: a pump (rule 11), its isolator or an annunciator.
bool is_unreachable(const AlarmSight& sight, ContactIndex contact) {
  for (std::size_t at = 0; at < sight.model.pumps.size(); ++at) {
    const Pump& pump = sight.model.pumps[at];
    const PumpMemory& memory = sight.memory.pumps[at];
    if (pump.contact == contact && memory.refusal == Cause::contact_unreachable) return true;
    if (pump.isolator && pump.isolator->contact == contact && memory.isolator_lost) return true;
  }
  for (std::size_t at = 0; at < sight.model.annunciators.size(); ++at) {
    if (sight.model.annunciators[at].contact == contact && sight.memory.annunciators[at].doubted) return true;
  }
  return false;
}

bool gateway_condition(const AlarmSight& sight, AlarmKind kind) {
  return kind == AlarmKind::clock ? !sight.image.local.has_value() : !sight.image.state_is_kept;
}

/// Whether an alarm of the tank speaks: one that is put aside says nothing in the place of another.
bool speaks(const AlarmSight& sight, TankIndex tank, AlarmKind kind) {
  const auto& alarms = sight.model.alarms;
  for (std::size_t at = 0; at < alarms.size(); ++at) {
    const AlarmMemory& memory = sight.memory.alarms[at];
    if (alarms[at].kind == kind && alarms[at].of == AlarmSubject{tank})
      return memory.active && !is_aside(memory.state);
  }
  return false;
}

}  // namespace

std::optional<LevelRate> rate_of(const AlarmSight& sight, TankIndex tank) {
  return figures_of(sight.model.tanks[tank.at], sight.memory.accounts, tank, sight.levels[tank.at], sight.now)
      .rate;
}

std::optional<bool> holds(const AlarmSight& sight, const Alarm& alarm, bool active) {
  if (const auto* tank = std::get_if<TankIndex>(&alarm.of))
    return tank_condition(sight, alarm, *tank, active);
  if (const auto* pump = std::get_if<PumpIndex>(&alarm.of))
    return pump_condition(sight.memory.pumps[pump->at], alarm.kind);
  if (const auto* contact = std::get_if<ContactIndex>(&alarm.of)) return is_unreachable(sight, *contact);
  if (const auto* line = std::get_if<LineIndex>(&alarm.of)) return sight.memory.lines[line->at].down;
  return gateway_condition(sight, alarm.kind);
}

Aside aside_of(const AlarmSight& sight, const Alarm& alarm) {
  if (const auto* tank = std::get_if<TankIndex>(&alarm.of)) {
    return {.out_of_service = sight.memory.tanks_out[tank->at],
            .suppressed = alarm.kind == AlarmKind::unwell &&
                          sight.levels[tank->at].reason == Reason::disagree &&
                          speaks(sight, *tank, AlarmKind::disagree)};
  }
  const auto* index = std::get_if<PumpIndex>(&alarm.of);
  if (index == nullptr || alarm.kind == AlarmKind::stuck_on) return {};
  return {.out_of_service = sight.memory.pumps[index->at].out_of_service,
          .suppressed = alarm.kind == AlarmKind::tripped && is_out(sight.model, sight.memory, *index)};
}

void follow(LineMemory& memory, const LineSample& sample) {
  if (sample.answered != memory.answered) memory = {.answered = sample.answered, .failed = sample.failed};
  memory.down = !sample.open || sample.failed >= memory.failed + kFailuresInARow;
}

}  // namespace stillwell
