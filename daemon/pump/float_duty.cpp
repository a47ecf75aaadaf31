#include "stillwell/pump/float_duty.hpp"

namespace stillwell {

FloatSight sight_of(const Pump& pump, const PumpInputs& inputs) {
  if (!inputs.floats) return FloatSight::unreadable;
  FloatStates floats = *inputs.floats;
  if (pump.duty == Duty::drain && floats.high && !floats.high->on) floats.high.reset();
  return look(floats);
}

bool knows_its_tank(const Pump& pump, const PumpInputs& inputs) {
  return pump.floats ? is_known(sight_of(pump, inputs)) : inputs.tank.usable();
}

bool demand_by_floats(Duty duty, bool before, FloatSight sight) {
  if (!is_known(sight)) return false;
  if (sight == FloatSight::between) return before;
  return (sight == FloatSight::below) == (duty == Duty::fill);
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
