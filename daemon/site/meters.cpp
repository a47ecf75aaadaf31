#include "stillwell/site/meters.hpp"

namespace stillwell {

std::optional<MeterIndex> meter_of(const Pump& pump) {
  if (!pump.dry_run.power) return {};
  return pump.dry_run.power->meter;
}

std::optional<MeterIndex> watt_meter_of(const Model& model, const Pump& pump) {
  const auto meter = meter_of(pump);
  if (!meter || model.meters[meter->at].rules.kind != LoadKind::power) return {};
  return meter;
}

}  // namespace stillwell
