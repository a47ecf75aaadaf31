#pragma once
// Four tanks and three pumps by hand, with round numbers: 1 m² of floor each, so that 1 mm is 1 L.

#include "stillwell/plant/plant.hpp"
#include "stillwell/tank/shapes/prism.hpp"

#include <string>

namespace support {

inline constexpr stillwell::TankIndex kHeader{0};
inline constexpr stillwell::TankIndex kCistern{1};
inline constexpr stillwell::TankIndex kBoreWell{2};
inline constexpr stillwell::TankIndex kSump{3};

inline constexpr stillwell::PumpIndex kLift{0};
inline constexpr stillwell::PumpIndex kBore{1};
inline constexpr stillwell::PumpIndex kDrain{2};

inline constexpr stillwell::ContactIndex kLiftContact{0};
inline constexpr stillwell::ContactIndex kBoreContact{1};
inline constexpr stillwell::ContactIndex kDrainContact{2};

inline constexpr stillwell::GaugeIndex kHeaderTop{0};
inline constexpr stillwell::GaugeIndex kBoreDepth{2};
inline constexpr stillwell::SwitchIndex kHeaderFloat{0};
inline constexpr stillwell::SwitchIndex kLiftRunning{1};
inline constexpr stillwell::SwitchIndex kYardButton{2};

/// Tanks of 1 m²; full at 1 m, outlet 10 cm above the floor. Distance gauges look down from 1.5 m; the bore's
/// depth gauge hangs 20 cm above the floor.
inline stillwell::Model bench_model() {
  using namespace stillwell;
  Model model;
  model.id = "bench";
  model.lines = {{"shed"}, {"mast"}};
  for (const char* id : {"header", "cistern", "bore-well", "sump"}) {
    Tank tank;
    tank.id = id;
    tank.gauges = {{GaugeIndex{model.tanks.size()}, {Metres{1.5}, Metres{0.5}, Metres{1.0}, Metres{0.1}}}};
    tank.full_line = Metres{1.0};
    tank.unusable = Metres{0.1};
    tank.shape = rectangular(Metres{1.0}, Metres{1.0});
    model.tanks.push_back(tank);
    model.gauges.push_back({std::string{id} + "-gauge", {}});
  }
  model.gauges[kBoreDepth.at].rules.measures = Measures::depth;
  model.tanks[kBoreWell.at].gauges.front().mounting.to_floor = Metres{-0.2};
  model.switches = {{"header-float", {.active_low = true, .broken_is_on = true, .stale_after = {}}},
                    {"lift-running", {}}};
  model.contacts = {{"lift-contact"}, {"bore-contact"}, {"drain-contact"}};
  model.switches.push_back({"yard-button", {}});
  model.annunciators = {{.id = "yard", .contact = {3}, .silence_switch = SilenceSwitch{kYardButton, {}}}};
  model.contacts.push_back({"yard-horn"});

  Pump lift{.id = "lift", .duty = Duty::fill, .tank = kHeader, .source = kCistern, .contact = kLiftContact};
  lift.flow_rate = LitresPerSecond{2.0};
  lift.feedback = Feedback{kLiftRunning, {}};
  Pump bore{.id = "bore", .duty = Duty::fill, .tank = kCistern, .source = kBoreWell, .contact = kBoreContact};
  bore.flow_rate = LitresPerSecond{1.0};
  Pump drain{.id = "drain", .duty = Duty::drain, .tank = kSump, .source = kSump, .contact = kDrainContact};
  drain.flow_rate = LitresPerSecond{3.0};
  model.pumps = {lift, bore, drain};
  return model;
}

/// Still water with the header's float at 95 cm.
inline stillwell::plant::Scenario bench_scenario() {
  auto scenario = stillwell::plant::still_water(bench_model());
  scenario.floats = {{kHeaderFloat, kHeader, stillwell::Metres{0.95}, true}};
  return scenario;
}

inline stillwell::plant::Plant bench_plant() {
  return {bench_model(), bench_scenario()};
}

}  // namespace support
