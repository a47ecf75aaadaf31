#include "stillwell/site/guards.hpp"

#include <algorithm>

namespace stillwell {
namespace {

bool reads(const Pump& pump, SwitchIndex input) {
  const auto& floats = pump.floats;
  if (floats && (floats->lower == input || floats->upper == input || floats->high == input)) return true;
  return pump.float_trip == input || pump.source_float == input || pump.selector.off == input ||
         pump.selector.hand == input || (pump.feedback && pump.feedback->input == input) ||
         (pump.dry_run.flow && pump.dry_run.flow->input == input);
}

}  // namespace

bool guards_a_pump(const Model& model, GaugeIndex gauge) {
  return std::any_of(model.pumps.begin(), model.pumps.end(), [&](const Pump& pump) {
    const auto stands_in = [&](TankIndex tank) {
      const auto& gauges = model.tanks[tank.at].gauges;
      return std::any_of(gauges.begin(), gauges.end(),
                         [&](const TankGauge& one) { return one.gauge == gauge; });
    };
    return stands_in(pump.tank) || (pump.source && stands_in(*pump.source)) ||
           (pump.receiver && stands_in(*pump.receiver));
  });
}

bool guards_a_pump(const Model& model, SwitchIndex input) {
  return std::any_of(model.pumps.begin(), model.pumps.end(),
                     [&](const Pump& pump) { return reads(pump, input); });
}

bool guards_a_pump(const Model& model, MeterIndex meter) {
  return std::any_of(model.pumps.begin(), model.pumps.end(), [&](const Pump& pump) {
    return pump.dry_run.power && pump.dry_run.power->meter == meter;
  });
}

}  // namespace stillwell
