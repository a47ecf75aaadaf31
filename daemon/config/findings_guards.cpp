// Findings about guards that could not do what they are there for.
#include "stillwell/config/findings.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

/// NAMUR NE 43, from memory: a transmitter that is well stays at or above 3.8 mA, and below 3.6 mA is a
/// fault.
constexpr std::string_view kLoopRule =
    " A current loop that is well carries 3.8 mA or more, a broken one less than 3.6 mA (NAMUR NE 43, from "
    "memory): set fault_below to the count at 3.6 mA";

bool may_be_broken_unseen(const RegisterNumber& number) {
  return number.is_scaled && !number.fault_below && !number.fault_above;
}

/// Of a gauge, only where the count of a broken loop would pass for water.
void find_unseen_loop_of(const Configuration& configuration, const Tank& tank, Findings& findings) {
  for (const TankGauge& one : tank.gauges) {
    const auto* modbus = std::get_if<ModbusGauge>(&configuration.wiring.gauges.at(one.gauge.at).source);
    if (modbus == nullptr || !may_be_broken_unseen(modbus->number)) continue;
    const Gauge& gauge = configuration.model.gauges.at(one.gauge.at);
    const Metres shown{modbus->number.offset};
    if (judge(shown, shown, gauge.rules, one.mounting) != Reason::none) continue;
    const Metres level = to_level(shown, gauge.rules, one.mounting);
    findings.warn(
        "broken-loop-unseen", {"gauges", gauge.id},
        "it is scaled and has no fault_below: when its loop breaks the count is 0, which reads as a "
        "level of " +
            to_text(level) + " in tank " + tank.id + " and would be believed." + std::string(kLoopRule));
  }
}

void find_unseen_loop_of(const Configuration& configuration, const Pump& pump, Findings& findings) {
  if (!pump.dry_run.power) return;
  const std::size_t at = pump.dry_run.power->meter.at;
  if (!may_be_broken_unseen(configuration.wiring.meters.at(at).number)) return;
  findings.note("broken-loop-unseen", {"meters", configuration.model.meters.at(at).id},
                "it is scaled and has no fault_below: when its loop breaks pump " + pump.id +
                    " is told to have run dry (no-power) and not that its meter cannot be read, and a motor "
                    "that is stuck on is not seen." +
                    std::string(kLoopRule));
}

/// A rate that its pump cannot reach: as a guard it would always trip, as a sign it would never show.
void compare(const Pump& pump, const Tank& tank, const RiseGuard& guard, bool must_follow,
             Findings& findings) {
  const auto slowest = slowest_by(pump, tank);
  if (!slowest || guard.at_least <= slowest->speed) return;
  findings.warn(
      "movement-beyond-flow", {"pumps", pump.id},
      std::string(must_follow ? "dry_run.rise" : "unasked") + ".at_least is " + to_text(guard.at_least) +
          ", and its flow_rate (" + to_text(*pump.flow_rate) + ") moves the level of " + tank.id + " by " +
          to_text(slowest->speed) + " where it is widest (" + fixed(slowest->area.value(), 2) + " m2): " +
          (must_follow ? "it would be stopped as running dry while it moves water"
                       : "a motor that runs unasked would never be seen") +
          ". Set at_least to half of that or less, for the draw and for wear (common practice, no source)");
}

/// What shows a dry pump whatever the level.
bool has_dry_guard(const Pump& pump) {
  return pump.source_float || pump.dry_run.flow || pump.dry_run.power;
}

}  // namespace

std::optional<Slowest> slowest_by(const Pump& pump, const Tank& tank) {
  if (!pump.flow_rate || !tank.shape) return {};
  constexpr int kTenths = 10;
  SquareMetres widest{};
  for (int tenth = 1; tenth <= kTenths; ++tenth)
    widest = std::max(widest, tank.shape->surface(tank.full() * (tenth * 0.1)));
  if (!(widest > SquareMetres{0.0})) return {};
  return Slowest{MetresPerSecond{pump.flow_rate->value() / kLitresPerCubicMetre / widest.value()}, widest};
}

void find_unseen_broken_loop(const Configuration& configuration, Findings& findings) {
  for (const Tank& tank : configuration.model.tanks)
    find_unseen_loop_of(configuration, tank, findings);
  for (const Pump& pump : configuration.model.pumps)
    find_unseen_loop_of(configuration, pump, findings);
}

void find_movement_beyond_flow(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const Tank& tank = configuration.model.tanks.at(pump.tank.at);
    if (pump.dry_run.rise) compare(pump, tank, *pump.dry_run.rise, true, findings);
    if (pump.unasked) compare(pump, tank, *pump.unasked, false, findings);
  }
}

void find_retry_within_rest(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const bool counts = pump.dry_run.rise || pump.dry_run.power || pump.dry_run.flow;
    if (!counts || pump.dry_run.retry.after >= pump.limits.off_at_least) continue;
    findings.note(
        "retry-within-rest", {"pumps", pump.id},
        "dry_run.retry.after is " + to_text(pump.dry_run.retry.after) +
            ", and limits.off_at_least keeps it off for " + to_text(pump.limits.off_at_least) +
            " after every stop: the first rest is that long. A well needs time to come back (common "
            "practice, no source): set retry.after to that or more");
  }
}

void find_blind_run_too_long(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const Tank& tank = configuration.model.tanks.at(pump.tank.at);
    if (!pump.when_unknown || !pump.flow_rate || !tank.shape || has_dry_guard(pump)) continue;
    const Litres full = tank.capacity() - tank.shape->volume(pump.stop_level);
    const double seconds = full.value() / pump.flow_rate->value();
    if (seconds_of(pump.when_unknown->run_for) <= seconds) continue;
    findings.warn("blind-run-too-long", {"pumps", pump.id},
                  "when_unknown.run_for is " + to_text(pump.when_unknown->run_for) +
                      ", and at its flow_rate (" + to_text(*pump.flow_rate) +
                      ") even a full tank is down to stop_at within " + fixed(seconds, 0) +
                      " s: it runs dry each time nobody knows the level. Run for less, or let dry_run.flow, "
                      "dry_run.power or a source_float stop it (common practice, no source)");
  }
}

void find_isolator_beside_contact(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    if (!pump.isolator) continue;
    const ContactWiring& contact = configuration.wiring.contacts.at(pump.contact.at);
    const ContactWiring& isolator = configuration.wiring.contacts.at(pump.isolator->contact.at);
    if (contact.line != isolator.line) continue;
    findings.note("isolator-beside-contact", {"pumps", pump.id},
                  "its isolator " + isolator.id + " and its contact " + contact.id + " hang on line " +
                      configuration.wiring.lines.at(contact.line.at).id +
                      ": when that line dies neither can be opened. Two ways to stop a motor share nothing "
                      "(common practice, no source): put the isolator on another line, or on a pin of this "
                      "computer");
  }
}

}  // namespace stillwell::config
