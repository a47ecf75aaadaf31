#include "stillwell/plant/scenario.hpp"

#include "stillwell/tank/shapes/prism.hpp"

namespace stillwell::plant {

LitresPerSecond Flow::at(Duration time) const {
  LitresPerSecond flow{0.0};
  for (const FlowStep& step : steps) {
    if (step.from > time) break;
    flow = step.flow;
  }
  return flow;
}

Model with_pits(Model model) {
  constexpr Metres kDepth{1.0};
  constexpr Litres kHolds{500.0};
  for (Tank& tank : model.tanks) {
    if (!tank.floats) continue;
    tank.full_line = kDepth;
    tank.shape = even_section(kHolds, kDepth);
  }
  return model;
}

Scenario still_water(const Model& model) {
  Scenario scenario;
  for (const Tank& tank : with_pits(model).tanks) {
    // An overflow pipe sits a little above the full line: half of the span that a level may still have.
    const Metres margin = tank.gauges.empty() ? Metres{0.0} : tank.gauges.front().mounting.margin;
    const Metres brim = tank.full() + margin * 0.5;
    scenario.tanks.push_back(
        {.start = tank.full() * 0.5, .brim = brim, .intake = {}, .inflow = {}, .draw = {}});
  }
  for (const Pump& pump : model.pumps) {
    scenario.pump_flow.push_back(pump.flow_rate.value_or(LitresPerSecond{0.0}));
  }
  return scenario;
}

}  // namespace stillwell::plant
