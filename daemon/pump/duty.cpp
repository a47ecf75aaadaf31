#include "stillwell/pump/duty.hpp"

namespace stillwell {
namespace {

bool asks_by_level(const Pump& pump, bool before, const Level& level) {
  if (!level.usable()) return false;
  if (pump.duty == Duty::fill) {
    if (level.highest() <= pump.start_level) return true;
    return before && level.highest() < pump.stop_level;
  }
  if (level.lowest() >= pump.start_level) return true;
  return before && level.lowest() > pump.stop_level;
}

bool asks_by_floats(Duty duty, bool before, FloatSight sight) {
  if (!is_known(sight)) return false;
  if (sight == FloatSight::between) return before;
  return (sight == FloatSight::below) == (duty == Duty::fill);
}

}  // namespace

FloatSight sight_of(const Pump& pump, const PumpInputs& inputs) {
  if (!inputs.floats) return FloatSight::unreadable;
  FloatStates floats = *inputs.floats;
  if (pump.duty == Duty::drain && floats.high && !floats.high->on) floats.high.reset();
  return look(floats);
}

bool knows_its_tank(const Pump& pump, const PumpInputs& inputs) {
  return pump.floats ? is_known(sight_of(pump, inputs)) : inputs.tank.usable();
}

bool asks(const Pump& pump, bool before, const PumpInputs& inputs) {
  return pump.floats ? asks_by_floats(pump.duty, before, sight_of(pump, inputs))
                     : asks_by_level(pump, before, inputs.tank);
}

void weigh_tank(const Pump& pump, const PumpMemory& memory, const PumpInputs& inputs, Scales& scales) {
  const bool known = knows_its_tank(pump, inputs);
  if (!pump.floats) return scales.add(Cause::tank_unknown, known || memory.blind);
  const FloatSight sight = sight_of(pump, inputs);
  const bool unread = sight == FloatSight::unreadable;
  scales.add(unread ? Cause::switch_unknown : Cause::tank_unknown, known || memory.blind);
  // Asked of the float itself: it stops a filling also where it contradicts the others.
  const bool is_high = inputs.floats && inputs.floats->high && inputs.floats->high->on == true;
  if (pump.duty == Duty::fill && is_high) scales.add(Cause::float_switch);
}

}  // namespace stillwell
