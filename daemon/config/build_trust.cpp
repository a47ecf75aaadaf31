// How the gauges of each tank are believed, and how fast its water moves. Comes after the pumps: what they
// can move is no jump.
#include "stillwell/config/build.hpp"
#include "stillwell/site/water_motion.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

/// Nothing but a pump fills or empties a tank in less than this. Common practice, no source.
constexpr double kSecondsToFillOrEmpty = 60.0;
constexpr Metres kUsualDisagree{0.05};
/// Well above the noise, or a slow but true gauge is accused.
constexpr double kFrozenNoises = 5.0;

/// Where the owner says nothing: as fast as its pumps can, and the whole span in a minute at the least.
MetresPerSecond usual_fastest(const Model& model, TankIndex at) {
  const MetresPerSecond in_a_minute{model.tanks[at.at].full().value() / kSecondsToFillOrEmpty};
  return std::max(in_a_minute, fastest_by_pumps(model, at));
}

Settle build_settle(Build& build, const Checked& section) {
  Settle settle;
  settle.spikes = static_cast<int>(value_or<std::int64_t>(section, "spikes"));
  settle.noise = value_or<Metres>(section, "noise");
  settle.frozen_after = section.get<Metres>("frozen_after").value_or(settle.noise * kFrozenNoises);
  if (settle.frozen_after > Metres{0.0} && settle.frozen_after <= settle.noise * 2.0) {
    build.tell(section.at("frozen_after"), "expected more than twice noise (" + to_text(settle.noise * 2.0) +
                                               "), or a gauge that is well would be accused");
  }
  return settle;
}

void build_tank_trust(Build& build, const Checked& section, TankIndex at) {
  Tank& tank = build.out.model.tanks[at.at];
  if (tank.floats) return;  // there is no reading to be believed
  tank.combine.how = value_or<std::string>(section, "combine") == "mean" ? Combine::mean : Combine::median;
  tank.combine.disagree = section.get<Metres>("disagree").value_or(kUsualDisagree);
  tank.draws_at_most = section.get<LitresPerSecond>("draws_at_most");
  tank.gains_at_most = section.get<LitresPerSecond>("gains_at_most");
  const Checked* settle = section.part("settle");
  if (settle == nullptr) return;
  tank.smooth = value_or<Duration>(*settle, "smooth");
  tank.fastest = settle->get<MetresPerSecond>("fastest").value_or(usual_fastest(build.out.model, at));
  Settle rules = build_settle(build, *settle);
  for (const TankGauge& one : tank.gauges) {
    const Duration every = build.out.wiring.gauges.at(one.gauge.at).every;
    const Metres step{tank.fastest->value() * seconds_of(every)};
    rules.lag = every * (Hampel{rules.window()}.window() / 2 + 1);
    rules.spike_floor = spike_floor(rules.spikes, step, rules.noise);
    build.out.model.gauges.at(one.gauge.at).rules.settle = rules;
  }
}

}  // namespace

void build_trust(Build& build) {
  const auto& sections = build.root.named("tanks");
  for (std::size_t at = 0; at < sections.size(); ++at)
    build_tank_trust(build, sections[at], {at});
}

}  // namespace stillwell::config
