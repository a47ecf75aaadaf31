#pragma once
// One pump on its way from the file to the model, and what the builders of its parts share.

#include "stillwell/config/build.hpp"

namespace stillwell::config {

/// The file is at hand for places.
struct PumpBuild {
  Build& build;
  const Checked& section;
  PumpIndex index;
  Pump pump;

  [[nodiscard]] bool is_fill() const { return pump.duty == Duty::fill; }
  [[nodiscard]] const Tank& tank(TankIndex of) const { return build.out.model.tanks.at(of.at); }
  /// Also where its floats were written wrongly.
  [[nodiscard]] bool is_by_floats(TankIndex of) const {
    const auto& tanks = build.root.named("tanks");
    return of.at < tanks.size() && tanks[of.at].has("floats");
  }
  [[nodiscard]] std::optional<std::size_t> set() const { return set_of(build.out.model.sets, index); }
};

/// A switch of the pump whose broken wire must look like this (rule 7).
std::optional<SwitchIndex> take_switch(PumpBuild& it, const Checked& section, std::string_view key,
                                       bool broken_is_on);
/// A reading must not be older than the delay that relies on it (rule 2): tells when it may be, and otherwise
/// makes it stale in time.
void rely_on(PumpBuild& it, SwitchIndex input, const Checked& section, std::string_view delay);
void rely_on(PumpBuild& it, MeterIndex meter, const Checked& section, std::string_view delay);
/// Those of its tank, for the `within` of a section.
void rely_on_gauges(PumpBuild& it, const Checked& section);

void take_dry_run(PumpBuild& it);
/// What its tank shows while it is off.
void take_unasked(PumpBuild& it);

}  // namespace stillwell::config
