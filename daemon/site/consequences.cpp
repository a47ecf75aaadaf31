#include "stillwell/site/consequences.hpp"

#include <algorithm>
#include <array>

namespace stillwell {
namespace {

/// How the thing with the cause and the thing with the effect must hang together.
enum class Link : std::uint8_t {
  same,         ///< one and the same
  on_line,      ///< line to what hangs on it
  of_contact,   ///< contact to its pump
  touched,      ///< tank to a pump that must know its level
  suction,      ///< tank to a pump that draws from it
  delivery,     ///< tank to a pump that delivers into it
  fills,        ///< pump to the tank that it fills
  empties,      ///< pump to the tank that it empties
  should_drain  ///< drain pump to the tank that it keeps low
};

struct EffectRow {
  AlarmKind cause;
  AlarmKind effect;
  Link link;
};

using enum AlarmKind;
constexpr std::array kEffects{
    EffectRow{line_down, unwell, Link::on_line},
    EffectRow{line_down, disagree, Link::on_line},
    EffectRow{line_down, contact_unreachable, Link::on_line},
    EffectRow{contact_unreachable, tripped, Link::of_contact},
    EffectRow{disagree, unwell, Link::same},
    EffectRow{disagree, tripped, Link::touched},
    EffectRow{unwell, tripped, Link::touched},
    EffectRow{low, tripped, Link::suction},
    EffectRow{low_low, tripped, Link::suction},
    EffectRow{high, tripped, Link::delivery},
    EffectRow{high_high, tripped, Link::delivery},
    EffectRow{float_high, tripped, Link::delivery},
    EffectRow{stuck_on, locked_out, Link::same},
    EffectRow{stuck_on, rising, Link::fills},
    EffectRow{stuck_on, high, Link::fills},
    EffectRow{stuck_on, high_high, Link::fills},
    EffectRow{stuck_on, float_high, Link::fills},
    EffectRow{stuck_on, falling, Link::empties},
    EffectRow{stuck_on, low, Link::empties},
    EffectRow{stuck_on, low_low, Link::empties},
    EffectRow{no_feedback, tripped, Link::same},
    EffectRow{no_feedback, locked_out, Link::same},
    EffectRow{tripped, low, Link::fills},
    EffectRow{tripped, low_low, Link::fills},
    EffectRow{locked_out, low, Link::fills},
    EffectRow{locked_out, low_low, Link::fills},
    EffectRow{tripped, high, Link::should_drain},
    EffectRow{tripped, high_high, Link::should_drain},
    EffectRow{tripped, float_high, Link::should_drain},
    EffectRow{locked_out, float_high, Link::should_drain},
    EffectRow{locked_out, high, Link::should_drain},
    EffectRow{locked_out, high_high, Link::should_drain},
    EffectRow{rising, high, Link::same},
    EffectRow{rising, high_high, Link::same},
    EffectRow{leak, falling, Link::same},
    EffectRow{leak, low, Link::same},
    EffectRow{leak, low_low, Link::same},
    EffectRow{falling, low, Link::same},
    EffectRow{falling, low_low, Link::same},
};

bool hangs_on(const Model& model, const AlarmSubject& thing, LineIndex line) {
  if (const auto* contact = std::get_if<ContactIndex>(&thing))
    return model.contacts[contact->at].line == line;
  const auto* tank = std::get_if<TankIndex>(&thing);
  if (tank == nullptr) return false;
  const auto& floats = model.tanks[tank->at].floats;
  const auto hangs = [&](SwitchIndex input) { return model.switches[input.at].line == line; };
  if (floats) return hangs(floats->lower) || hangs(floats->upper) || (floats->high && hangs(*floats->high));
  const auto& gauges = model.tanks[tank->at].gauges;
  return std::any_of(gauges.begin(), gauges.end(),
                     [&](const TankGauge& one) { return model.gauges[one.gauge.at].line == line; });
}

/// A tank brings a pump's trip only when the pump says so itself: by what it was tripped for.
bool tripped_by(const Pump& pump, const PumpMemory& memory, Link link, TankIndex tank) {
  const auto cause = memory.first_out;
  if (link == Link::touched && pump.floats && pump.tank == tank)
    return cause == Cause::tank_unknown || cause == Cause::switch_unknown;
  if (link == Link::touched)
    return cause == (pump.tank == tank ? Cause::tank_unknown : Cause::source_unknown);
  if (link == Link::suction) return suction_of(pump) == tank && cause == Cause::source_low;
  if (pump.floats && cause == Cause::float_switch) return delivery_of(pump) == tank;
  return delivery_of(pump) == tank && (cause == Cause::tank_high || cause == Cause::source_high);
}

bool reaches(const Pump& pump, Link link, TankIndex tank) {
  if (link == Link::fills) return delivery_of(pump) == tank;
  if (link == Link::empties) return suction_of(pump) == tank;
  return pump.duty == Duty::drain && pump.tank == tank;
}

bool linked(const Model& model, const Memory& memory, Link link, const AlarmSubject& cause,
            const AlarmSubject& effect) {
  if (link == Link::same) return cause == effect;
  if (const auto* line = std::get_if<LineIndex>(&cause)) return hangs_on(model, effect, *line);
  if (const auto* pump = std::get_if<PumpIndex>(&cause)) {
    const auto* tank = std::get_if<TankIndex>(&effect);
    return tank != nullptr && reaches(model.pumps[pump->at], link, *tank);
  }
  const auto* pump = std::get_if<PumpIndex>(&effect);
  if (pump == nullptr) return false;
  const PumpMemory& state = memory.pumps[pump->at];
  if (const auto* contact = std::get_if<ContactIndex>(&cause))
    return model.pumps[pump->at].contact == *contact && state.first_out == Cause::contact_unreachable;
  const auto* tank = std::get_if<TankIndex>(&cause);
  return tank != nullptr && tripped_by(model.pumps[pump->at], state, link, *tank);
}

bool brings(const Model& model, const Memory& memory, const Alarm& cause, const Alarm& effect) {
  return std::any_of(kEffects.begin(), kEffects.end(), [&](const EffectRow& row) {
    return row.cause == cause.kind && row.effect == effect.kind &&
           linked(model, memory, row.link, cause.of, effect.of);
  });
}

/// After a restart nobody knows which came first; then the table alone decides.
bool began_no_later(const AlarmMemory& a, const AlarmMemory& b) {
  return !a.began || !b.began || *a.began <= *b.began;
}

/// The earliest of the alarms that brought it, one step back.
std::optional<std::size_t> step_back(const Model& model, const Memory& memory, std::size_t effect) {
  std::optional<std::size_t> first;
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    const AlarmMemory& candidate = memory.alarms[at];
    if (at == effect || !candidate.active || !began_no_later(candidate, memory.alarms[effect])) continue;
    if (!brings(model, memory, model.alarms[at], model.alarms[effect])) continue;
    if (!first || candidate.began < memory.alarms[*first].began) first = at;
  }
  return first;
}

}  // namespace

std::optional<std::size_t> brought_by(const Model& model, const Memory& memory, std::size_t alarm) {
  std::optional<std::size_t> first;
  if (!memory.alarms[alarm].active) return first;
  std::size_t at = alarm;
  // Two pumps that feed each other could lead round in a circle.
  for (std::size_t steps = 0; steps < model.alarms.size(); ++steps) {
    const auto before = step_back(model, memory, at);
    if (!before || *before == alarm) break;
    first = before;
    at = *before;
  }
  return first;
}

}  // namespace stillwell
