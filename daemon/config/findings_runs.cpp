// Findings about how far and how long a pump runs: against its gauge, its limit and its suction.
#include "stillwell/config/findings.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::config {
namespace {

struct Blurred {
  Metres noise{};
  std::string_view gauge;
};

/// The worst of the gauges that a tank goes by.
Blurred most_blurred(const Model& model, const Tank& tank) {
  Blurred worst;
  for (const TankGauge& one : tank.gauges) {
    const Gauge& gauge = model.gauges.at(one.gauge.at);
    if (gauge.rules.settle.noise > worst.noise) worst = {gauge.rules.settle.noise, gauge.id};
  }
  return worst;
}

/// With nothing drawn and nothing flowing in: no run is shorter.
Duration time_to_move(const Tank& tank, Metres from, Metres to, LitresPerSecond flow) {
  const double litres = std::abs((tank.shape->volume(to) - tank.shape->volume(from)).value());
  const std::chrono::duration<double> exact{litres / flow.value()};
  constexpr std::chrono::minutes kByTheMinute{10};  // seconds of hours are no news
  if (exact > kByTheMinute) return std::chrono::round<std::chrono::minutes>(exact);
  return std::chrono::round<std::chrono::seconds>(exact);
}

/// Where a run begins after the tank was left alone for long: empty for a fill pump, full for a drain pump.
Metres farthest_start(const Pump& pump, const Tank& tank) {
  return pump.duty == Duty::fill ? std::min(tank.unusable, pump.start_level) : tank.full();
}

constexpr std::string_view kHowLong =
    ". What is drawn or flows in meanwhile comes on top: set run_at_most to half as much again, or more "
    "(common "
    "practice, no source)";

}  // namespace

void find_range_within_noise(const Configuration& configuration, Findings& findings) {
  const Model& model = configuration.model;
  for (const Pump& pump : model.pumps) {
    if (pump.floats) continue;
    const auto [noise, gauge] = most_blurred(model, model.tanks.at(pump.tank.at));
    const Metres range{std::abs((pump.stop_level - pump.start_level).value())};
    if (range > noise * 2.0) continue;
    findings.warn("range-within-noise", {"pumps", pump.id},
                  "between start_at (" + to_text(pump.start_level) + ") and stop_at (" +
                      to_text(pump.stop_level) + ") lie " + to_text(range) +
                      ", and a true reading of gauge " + std::string(gauge) +
                      " may be off by settle.noise (" + to_text(noise) +
                      ") either way: ripples alone would start and stop it. Keep the two farther apart than "
                      "twice the noise (common practice, no source): move start_at or stop_at, or state a "
                      "smaller noise if the surface is that calm");
  }
}

void find_run_at_most_too_short(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const Duration limit = pump.limits.run_at_most;
    if (pump.floats || !pump.flow_rate || limit == Duration{0}) continue;
    const Tank& tank = configuration.model.tanks.at(pump.tank.at);
    const std::string of_limit = ", and limits.run_at_most locks it out (over-time) after " + to_text(limit);
    const Duration usual = time_to_move(tank, pump.start_level, pump.stop_level, *pump.flow_rate);
    const Duration longest = time_to_move(tank, farthest_start(pump, tank), pump.stop_level, *pump.flow_rate);
    if (usual > limit) {
      findings.warn("run-at-most-too-short", {"pumps", pump.id},
                    "at its flow_rate (" + to_text(*pump.flow_rate) + ") it takes " + to_text(usual) +
                        " from start_at to stop_at" + of_limit + ": no run ever reaches stop_at" +
                        std::string(kHowLong));
    } else if (longest > limit) {
      findings.note("run-at-most-too-short", {"pumps", pump.id},
                    "at its flow_rate (" + to_text(*pump.flow_rate) + ") it takes " + to_text(longest) +
                        " from " + (pump.duty == Duty::fill ? "an empty" : "a full") + " tank to stop_at" +
                        of_limit + ": after such a day a person must reset it" + std::string(kHowLong));
    }
  }
}

void find_suction_trip_below_outlet(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    if (pump.drive == Drive::valve || !pump.source_below || !pump.source) continue;
    const Tank& source = configuration.model.tanks.at(pump.source->at);
    if (*pump.source_below >= source.unusable) continue;
    findings.warn("suction-trip-below-outlet", {"pumps", pump.id},
                  "dry_run.source_below is " + to_text(*pump.source_below) + ", and the outlet of tank " +
                      source.id + " is " + to_text(source.unusable) +
                      " above its floor (unusable): it draws air before it trips. Trip while the suction is "
                      "still under water (common practice, no source): set source_below to more than that");
  }
}

}  // namespace stillwell::config
