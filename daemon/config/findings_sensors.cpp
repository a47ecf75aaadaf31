// Findings about what the sensor can see.
#include "stillwell/config/findings.hpp"

namespace stillwell::config {

void find_full_in_blanking(const Configuration& configuration, Findings& findings) {
  for (const Tank& tank : configuration.model.tanks) {
    const Gauge& gauge = configuration.model.gauges.at(tank.gauge.at);
    if (gauge.rules.measures != Measures::distance || tank.mounting.to_full >= gauge.rules.blanking) continue;
    findings.warn("full-in-blanking", tank.id,
                  "the full line is " + to_text(tank.mounting.to_full) + " from gauge " + gauge.id +
                      ", inside its blanking zone of " + to_text(gauge.rules.blanking) +
                      ": the level is lost just before the tank overflows, and every pump that needs it "
                      "stops. Keep the "
                      "full line below the blanking zone (common practice, no source): raise the sensor or "
                      "lower to_full's line");
  }
}

void find_floor_beyond_reach(const Configuration& configuration, Findings& findings) {
  for (const Tank& tank : configuration.model.tanks) {
    const Gauge& gauge = configuration.model.gauges.at(tank.gauge.at);
    if (!gauge.rules.reach) continue;
    const bool distance = gauge.rules.measures == Measures::distance;
    // A depth sensor sees the most when the tank is full; its mounting's floor is minus its own height.
    const Metres farthest = distance ? tank.mounting.to_floor : tank.full() + tank.mounting.to_floor;
    if (farthest <= *gauge.rules.reach) continue;
    const std::string end = distance ? "floor is " : "full line is ";
    findings.warn(
        distance ? "floor-beyond-reach" : "full-beyond-reach", tank.id,
        "the " + end + to_text(farthest) + (distance ? " from" : " of water above") + " gauge " + gauge.id +
            ", beyond its reach of " + to_text(*gauge.rules.reach) + ": the level is lost when the tank is " +
            (distance ? "nearly empty" : "nearly full") +
            ". A sensor must cover the whole span (common practice, no source): choose one that reaches "
            "farther or mount it nearer");
  }
}

}  // namespace stillwell::config
