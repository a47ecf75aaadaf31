#pragma once
// What is laid upon the plant: how full the tanks begin, what flows in and is drawn, where the floats hang,
// what the motors take, and which instrument fails when. Positions are those of the model's lists.

#include "stillwell/plant/fault.hpp"
#include "stillwell/site/model.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace stillwell::plant {

struct FlowStep {
  Duration from{};
  LitresPerSecond flow{};
};

/// A flow that changes in steps, in order of time. Before the first step nothing flows.
struct Flow {
  std::vector<FlowStep> steps;

  [[nodiscard]] LitresPerSecond at(Duration time) const;
  static Flow constant(LitresPerSecond flow) { return {{{Duration{0}, flow}}}; }
};

struct TankScenario {
  Metres start{};   ///< level at the beginning
  Metres brim{};    ///< whatever rises above it spills
  Metres intake{};  ///< a pump that sucks from here moves no water below it
  Flow inflow;      ///< rain, seepage, recharge
  Flow draw;        ///< taken out at the outlet, while there is water above it
};

/// A float switch: on above its level, or on below it.
struct Float {
  SwitchIndex input;
  TankIndex tank;
  Metres level{};
  bool on_above = true;
};

/// A meter in the supply of a pump's motor, and what it shows there: nothing while the motor stands.
struct Supply {
  MeterIndex meter;
  PumpIndex pump;
  MotorLoad wet{};  ///< in the meter's unit, while the pump moves water
  MotorLoad dry{};  ///< while it runs and moves none
};

struct Scenario {
  std::uint64_t seed = 1;
  Celsius air{15.0};
  Metres ripple{0.0};             ///< how far the surfaces move up and down
  std::optional<Duration> cycle;  ///< the steps of all flows begin anew after this long
  std::vector<TankScenario> tanks;
  std::vector<LitresPerSecond> pump_flow;
  std::vector<Float> floats;
  std::vector<Supply> supplies;
  std::vector<Fault> faults;
};

/// The model as the plant needs it. Of a tank that is kept by floats the site knows no shape: here it is a
/// pit of 500 L, upright and 1 m deep.
Model with_pits(Model model);

/// Every tank half full and nothing moving but what the pumps move: the ground that scenarios build on. A
/// pump without a nameplate flow moves nothing.
Scenario still_water(const Model& model);

}  // namespace stillwell::plant
