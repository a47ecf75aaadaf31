// Findings about how often a pump starts.
#include "stillwell/config/findings.hpp"
#include "stillwell/pump/cycling.hpp"

#include <cmath>

namespace stillwell::config {
namespace {

Litres working_volume(const Tank& tank, const Pump& pump) {
  const Litres stop = tank.shape->volume(pump.stop_level);
  return Litres{std::abs((stop - tank.shape->volume(pump.start_level)).value())};
}

/// "1.1 kW, 2 poles", and by which row it is judged.
std::string described(const MotorPlate& motor, const MotorStarts& row) {
  return "its motor (" + shortest(motor.rated.value() / 1000.0) + " kW or " +
         fixed(motor.rated.value() / kWattsPerHorsepower, 2) + " hp, " + std::to_string(motor.poles) +
         " poles; judged as the rating of " + shortest(row.horsepower) +
         " hp, the same or the next larger one)";
}

constexpr std::string_view kTableOfStarts = " (NEMA MG 10, Table 2-3, as reprinted in handbooks)";

void find_too_many_starts(const Pump& pump, const MotorStarts& row, Findings& findings) {
  const int limit = pump.limits.starts_per_hour;
  if (limit != 0 && limit <= row.at_most.value()) return;
  findings.warn("starts-beyond-motor", {"pumps", pump.id},
                "limits.starts_per_hour " + (limit == 0 ? "is 0, no limit" : "is " + std::to_string(limit)) +
                    ", and " + described(*pump.motor, row) + " stands " + shortest(row.at_most.value()) +
                    " starts an hour" + std::string(kTableOfStarts) +
                    "; a load of great inertia fewer. Set starts_per_hour to " +
                    fixed(std::floor(row.at_most.value()), 0) + " or less");
}

void find_too_short_rest(const Pump& pump, const MotorStarts& row, Findings& findings) {
  if (pump.limits.off_at_least >= row.rest) return;
  findings.warn("rest-below-motor", {"pumps", pump.id},
                "limits.off_at_least is " + to_text(pump.limits.off_at_least) + ", and " +
                    described(*pump.motor, row) + " needs a rest of " + fixed(seconds_of(row.rest), 0) +
                    " s between two runs" + std::string(kTableOfStarts) +
                    ". Set off_at_least to that or more");
}

/// Of how many starts one is its own: pumps that alternate share them. Common practice, no source.
int turns_in(const Model& model, PumpIndex pump) {
  const auto at = set_of(model.sets, pump);
  if (!at || model.sets[*at].order == SetOrder::fixed) return 1;
  return static_cast<int>(model.sets[*at].pumps.size());
}

}  // namespace

void find_short_cycle(const Configuration& configuration, Findings& findings) {
  const Model& model = configuration.model;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const Pump& pump = model.pumps[at];
    const int limit = pump.limits.starts_per_hour;
    if (!pump.flow_rate || limit == 0 || pump.floats) continue;
    const Litres working = working_volume(model.tanks.at(pump.tank.at), pump);
    const int turns = turns_in(model, {at});
    const Duration wanted = kHour / limit;
    const Litres least = least_working_volume(*pump.flow_rate, wanted / turns);
    if (working >= least) continue;
    findings.warn(
        "short-cycle", {"pumps", pump.id},
        "between start_at and stop_at lie " + fixed(working.value(), 1) + " L. When half of its flow_rate (" +
            to_text(*pump.flow_rate) + ") flows against it, it starts every " +
            to_text(shortest_cycle(working, *pump.flow_rate).whole() * turns) +
            (turns > 1 ? " (every " + std::to_string(turns) + "th start of its set)" : "") +
            ", and starts_per_hour " + std::to_string(limit) + " allows one start in " + to_text(wanted) +
            ": it would be held back while its tank needs it. V = T·Q/4 asks for " + fixed(least.value(), 1) +
            " L (UFC 3-240-04A, chapter 7; MIL-HDBK-1005/9A, 2.5.3.6): move start_at and stop_at apart, or "
            "allow more starts if the motor stands them");
  }
}

void find_motor_overworked(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const auto row = pump.motor ? starts_of(*pump.motor) : std::nullopt;
    if (!row) continue;
    find_too_many_starts(pump, *row, findings);
    find_too_short_rest(pump, *row, findings);
  }
}

}  // namespace stillwell::config
