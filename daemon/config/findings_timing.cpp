// Findings about time: the scan and the lines.
#include "stillwell/config/bus_load.hpp"
#include "stillwell/config/findings.hpp"

namespace stillwell::config {
namespace {

constexpr double kBusyLine = 0.7;  // leaves room for retries and for a station that is slow to answer

struct Timer {
  Duration length{};
  std::string name;
};

std::vector<Timer> timers_of(const Model& model) {
  std::vector<Timer> timers;
  for (const Gauge& gauge : model.gauges)
    timers.push_back({gauge.rules.stale_after, "stale_after of gauge " + gauge.id});
  for (const Switch& input : model.switches)
    timers.push_back({input.rules.stale_after, "stale_after of switch " + input.id});
  for (const Meter& meter : model.meters)
    timers.push_back({meter.rules.stale_after, "stale_after of meter " + meter.id});
  for (const Alarm& alarm : model.alarms) {
    if (alarm.after > Duration{0}) timers.push_back({alarm.after, "the delay of alarm " + alarm.id});
  }
  for (const Pump& pump : model.pumps) {
    timers.push_back({pump.contact_within, "the confirmation of pump " + pump.id + "'s contact"});
    if (pump.feedback) timers.push_back({pump.feedback->within, "feedback.within of pump " + pump.id});
  }
  return timers;
}

}  // namespace

void find_scan_slower_than_timer(const Configuration& configuration, Findings& findings) {
  const Model& model = configuration.model;
  const Timer* fastest = nullptr;
  const std::vector<Timer> timers = timers_of(model);
  for (const Timer& timer : timers) {
    if (fastest == nullptr || timer.length < fastest->length) fastest = &timer;
  }
  if (fastest == nullptr || model.scan <= fastest->length) return;
  findings.warn(
      "scan-slower-than-timer", {"site", model.id},
      "the rules are solved every " + to_text(model.scan) + " and " + fastest->name + " is " +
          to_text(fastest->length) +
          ": it would end late. A delay can be no finer than the scan (common practice, no source): set "
          "site.scan to " +
          to_text(fastest->length) + " or less");
}

void find_line_busy(const Configuration& configuration, Findings& findings) {
  const Wiring& wiring = configuration.wiring;
  for (std::size_t i = 0; i < wiring.lines.size(); ++i) {
    const double load = bus_load(wiring, {i});
    if (!(load > kBusyLine)) continue;
    const LineWiring& line = wiring.lines[i];
    findings.warn(
        "line-busy", {"lines", line.id},
        "the asked rates take " + fixed(load * 100.0, 0) + " % of the line at " + std::to_string(line.speed) +
            " baud, before a station takes time to think. Characters of 11 bits and pauses of 3.5 of them: "
            "Modbus over Serial Line V1.02, 2.5.1; above " +
            fixed(kBusyLine * 100.0, 0) +
            " % retries make readings late (common practice, no source): raise every, raise the speed, or "
            "split the line");
  }
}

}  // namespace stillwell::config
