// Rule 2: what a delay relies on is never older than the delay.
#include "stillwell/config/pump_build.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

/// What a delay of a pump relies on.
struct Relied {
  std::string_view thing;  ///< "switch"
  const Checked& wired;
  Duration& stale_after;
};

void rely_on(PumpBuild& it, const Relied& on, const Checked& section, std::string_view delay) {
  const auto within = section.get<Duration>(delay);
  if (!within) return;
  const Duration every = value_or<Duration>(on.wired, "every");
  const std::string name = std::string(on.thing) + " '" + on.wired.id + "'";
  if (*within <= every) {
    it.build.tell(section.at(delay), name + " is read every " + to_text(every) +
                                         ", too seldom to prove it; expected more, or a smaller every there");
  } else if (on.wired.has("stale_after") && on.stale_after > *within) {
    it.build.tell(section.at(delay), "shorter than stale_after of " + name + " (" + to_text(on.stale_after) +
                                         "); an old reading could pass for proof");
  } else {
    on.stale_after = std::min(on.stale_after, *within);
  }
}

}  // namespace

void rely_on(PumpBuild& it, SwitchIndex input, const Checked& section, std::string_view delay) {
  Switch& known = it.build.out.model.switches[input.at];
  rely_on(it, {"switch", it.build.root.named("switches")[input.at], known.rules.stale_after}, section, delay);
}

void rely_on(PumpBuild& it, MeterIndex meter, const Checked& section, std::string_view delay) {
  Meter& known = it.build.out.model.meters[meter.at];
  rely_on(it, {"meter", it.build.root.named("meters")[meter.at], known.rules.stale_after}, section, delay);
}

void rely_on_gauges(PumpBuild& it, const Checked& section) {
  for (const TankGauge& one : it.tank(it.pump.tank).gauges) {
    Gauge& known = it.build.out.model.gauges[one.gauge.at];
    rely_on(it, {"gauge", it.build.root.named("gauges")[one.gauge.at], known.rules.stale_after}, section,
            "within");
  }
}

}  // namespace stillwell::config
