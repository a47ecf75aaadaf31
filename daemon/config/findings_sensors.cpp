// Findings about what the sensor can see.
#include "stillwell/config/findings.hpp"
#include "stillwell/reading/beam.hpp"
#include "stillwell/reading/sound.hpp"
#include "stillwell/site/water_motion.hpp"

#include <cmath>
#include <numbers>

namespace stillwell::config {
namespace {

template <class Look>
void for_each_gauge(const Configuration& configuration, Look look) {
  for (const Tank& tank : configuration.model.tanks) {
    for (const TankGauge& one : tank.gauges)
      look(tank, configuration.model.gauges.at(one.gauge.at), one.mounting);
  }
}

/// A tenth of the span above the floor: at the point of a cone every beam would be too wide.
Metres lowest_seen(const Mounting& mounting) {
  return mounting.full * 0.1;
}

/// Diameter of a circle as large as the surface.
Metres width_at(const Tank& tank, Metres level) {
  return Metres{2.0 * std::sqrt(tank.shape->surface(level).value() / std::numbers::pi)};
}

bool tells_air(const GaugeWiring& wiring) {
  const auto* modbus = std::get_if<ModbusGauge>(&wiring.source);
  return modbus != nullptr && modbus->air.has_value();
}

}  // namespace

void find_full_in_blanking(const Configuration& configuration, Findings& findings) {
  for_each_gauge(configuration, [&](const Tank& tank, const Gauge& gauge, const Mounting& mounting) {
    if (gauge.rules.measures != Measures::distance || mounting.to_full >= gauge.rules.blanking) return;
    findings.warn("full-in-blanking", {"tanks", tank.id},
                  "the full line is " + to_text(mounting.to_full) + " from gauge " + gauge.id +
                      ", inside its blanking zone of " + to_text(gauge.rules.blanking) +
                      ": the level is lost just before the tank overflows, and every pump that needs it "
                      "stops. Keep the "
                      "full line below the blanking zone (common practice, no source): raise the sensor or "
                      "lower to_full's line");
  });
}

void find_floor_beyond_reach(const Configuration& configuration, Findings& findings) {
  for_each_gauge(configuration, [&](const Tank& tank, const Gauge& gauge, const Mounting& mounting) {
    if (!gauge.rules.reach) return;
    const bool distance = gauge.rules.measures == Measures::distance;
    // A depth sensor sees the most when the tank is full; its mounting's floor is minus its own height.
    const Metres farthest = distance ? mounting.to_floor : tank.full() + mounting.to_floor;
    if (farthest <= *gauge.rules.reach) return;
    const std::string end = distance ? "floor is " : "full line is ";
    findings.warn(
        distance ? "floor-beyond-reach" : "full-beyond-reach", {"tanks", tank.id},
        "the " + end + to_text(farthest) + (distance ? " from" : " of water above") + " gauge " + gauge.id +
            ", beyond its reach of " + to_text(*gauge.rules.reach) + ": the level is lost when the tank is " +
            (distance ? "nearly empty" : "nearly full") +
            ". A sensor must cover the whole span (common practice, no source): choose one that reaches "
            "farther or mount it nearer");
  });
}

void find_beam_on_wall(const Configuration& configuration, Findings& findings) {
  for_each_gauge(configuration, [&](const Tank& tank, const Gauge& gauge, const Mounting& mounting) {
    if (!gauge.rules.beam) return;
    const Metres floor = lowest_seen(mounting);
    const Metres seen = footprint(mounting.to_floor - floor, *gauge.rules.beam);
    const Metres wide = width_at(tank, floor);
    if (seen <= wide) return;
    findings.warn(
        "beam-on-wall", {"tanks", tank.id},
        "the beam of gauge " + gauge.id + " is " + to_text(seen) + " wide " +
            to_text(mounting.to_floor - floor) + " below its face, and the surface there is as wide as " +
            "a circle of " + to_text(wide) +
            ": the wall answers before the water. The footprint is 2·d·tan of half the angle; keep it "
            "off the wall, ladder and inlet (common practice, no source): mount the sensor over the "
            "middle, use one with a narrower beam, or a stilling pipe");
  });
}

void find_distance_uncorrected(const Configuration& configuration, Findings& findings) {
  for_each_gauge(configuration, [&](const Tank& tank, const Gauge& gauge, const Mounting& mounting) {
    const Correction& correction = gauge.rules.correction;
    const std::size_t at = static_cast<std::size_t>(&gauge - configuration.model.gauges.data());
    if (!correction.assumes || tells_air(configuration.wiring.gauges.at(at))) return;
    const auto doubt =
        doubt_without_air(mounting.to_floor, mounting.to_floor, *correction.assumes, correction.air);
    if (!doubt || *doubt <= gauge.rules.settle.noise) return;
    findings.note(
        "distance-uncorrected", {"tanks", tank.id},
        "gauge " + gauge.id + " reckons with air at " + to_text(*correction.assumes) +
            " and tells no air temperature: between " + to_text(correction.air.lowest) + " and " +
            to_text(correction.air.highest) + " its level may be wrong by " + to_text(*doubt) +
            " near the floor, and pumps decide at the unsafe end of that. Sound gets faster by 0.17 % "
            "with each degree (ISO 9613-1): give the gauge an air reading, or state the site's air "
            "more narrowly");
  });
}

void find_jumps_unseen(const Configuration& configuration, Findings& findings) {
  constexpr double kMostOfSpan = 0.1;
  for (const Tank& tank : configuration.model.tanks) {
    for (const TankGauge& one : tank.gauges) {
      const Gauge& gauge = configuration.model.gauges.at(one.gauge.at);
      const Duration every = configuration.wiring.gauges.at(one.gauge.at).every;
      const Metres step{tank.fastest.value_or(MetresPerSecond{}).value() * seconds_of(every)};
      if (step <= tank.full() * kMostOfSpan || (tank.draws_at_most && tank.gains_at_most)) continue;
      findings.warn("jumps-unseen", {"tanks", tank.id},
                    "gauge " + gauge.id + " is read every " + to_text(every) + ", in which settle.fastest (" +
                        to_text(*tank.fastest) + ") allows " + to_text(step) +
                        ": a false echo that near is believed. State settle.fastest, or draws_at_most and "
                        "gains_at_most, as the water really moves, or read it more often");
    }
  }
}

void find_pump_faster_than_fastest(const Configuration& configuration, Findings& findings) {
  const Model& model = configuration.model;
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    const Tank& tank = model.tanks[at];
    const MetresPerSecond pumps = fastest_by_pumps(model, {at});
    if (!tank.fastest || pumps <= *tank.fastest) continue;
    findings.warn(
        "pump-faster-than-fastest", {"tanks", tank.id},
        "its pumps can move the level by " + to_text(pumps) +
            " (half as much again as their flow_rate), "
            "and settle.fastest is " +
            to_text(*tank.fastest) +
            ": while they run, true levels would count as jumps. State no fastest, or more than that");
  }
}

}  // namespace stillwell::config
