#include "stillwell/site/service.hpp"

namespace stillwell {
namespace {

/// By the proof that is under way.
bool is_forced(const Memory& memory, PumpIndex index, Cause cause) {
  return memory.proof && memory.proof->pump == index && memory.proof->forced == cause;
}

}  // namespace

bool is_taken_out(const Model& model, const Memory& memory, PumpIndex index) {
  const Pump& pump = model.pumps[index.at];
  const auto is_tank_out = [&](const std::optional<TankIndex>& tank) {
    return tank && memory.tanks_out[tank->at];
  };
  return memory.pumps[index.at].out_of_service || is_tank_out(pump.tank) || is_tank_out(pump.source) ||
         is_tank_out(pump.receiver);
}

bool is_out(const Model& model, const Memory& memory, PumpIndex index) {
  return is_forced(memory, index, Cause::service_out) || is_taken_out(model, memory, index);
}

bool is_released(const Memory& memory, PumpIndex index) {
  return is_forced(memory, index, Cause::command) || memory.pumps[index.at].released;
}

}  // namespace stillwell
