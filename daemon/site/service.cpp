#include "stillwell/site/service.hpp"

namespace stillwell {

bool is_taken_out(const Model& model, const Memory& memory, PumpIndex index) {
  const Pump& pump = model.pumps[index.at];
  const auto is_tank_out = [&](const std::optional<TankIndex>& tank) {
    return tank && memory.tanks_out[tank->at];
  };
  return memory.pumps[index.at].out_of_service || is_tank_out(pump.tank) || is_tank_out(pump.source) ||
         is_tank_out(pump.receiver);
}

bool is_out(const Model& model, const Memory& memory, PumpIndex index) {
  const bool for_proof =
      memory.proof && memory.proof->pump == index && memory.proof->forced == Cause::service_out;
  return for_proof || is_taken_out(model, memory, index);
}

}  // namespace stillwell
