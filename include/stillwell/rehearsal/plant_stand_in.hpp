#pragma once
// The simulated plant in place of the wires: each instrument is read when it is due, and the faults of the
// plant befall the answers as they would on a line, without the bytes.

#include "stillwell/config/wiring.hpp"
#include "stillwell/plant/plant.hpp"
#include "stillwell/rehearsal/stand_in.hpp"

#include <optional>
#include <vector>

namespace stillwell::rehearsal {

class PlantStandIn final : public StandIn {
 public:
  /// The wiring outlives it. The plant begins at the first instant that it is brought to.
  PlantStandIn(const config::Wiring& wiring, plant::Plant plant);

  bool advance(Instant now) override;
  [[nodiscard]] const Readings& latest() const override { return readings_; }
  void drive(const std::vector<Order>& contacts) override;

  [[nodiscard]] const plant::Plant& plant() const { return plant_; }

 private:
  [[nodiscard]] Reason spoilt(plant::Part part, std::size_t at, LineIndex line) const;
  void read_gauges(Instant now);
  void read_the_rest(Instant now);

  const config::Wiring& wiring_;
  plant::Plant plant_;
  Readings readings_;
  std::vector<Instant> due_;  ///< of the gauges
  std::optional<Instant> at_;
};

}  // namespace stillwell::rehearsal
