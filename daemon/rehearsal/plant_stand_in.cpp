#include "stillwell/rehearsal/plant_stand_in.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::rehearsal {

using plant::FaultKind;
using plant::Part;

PlantStandIn::PlantStandIn(const config::Wiring& wiring, plant::Plant plant)
    : wiring_{wiring}, plant_{std::move(plant)}, due_(wiring.gauges.size()) {
  readings_.gauges.resize(wiring.gauges.size());
  readings_.switches.resize(wiring.switches.size());
  readings_.meters.resize(wiring.meters.size());
  readings_.contacts.resize(wiring.contacts.size());
  readings_.lines.resize(wiring.lines.size());
}

/// What an answer becomes on the way: nothing is wrong, a frame that cannot be read, or none in time.
Reason PlantStandIn::spoilt(Part part, std::size_t at, LineIndex line) const {
  const auto has = [&](FaultKind kind) -> const plant::Fault* {
    const plant::Fault* own = plant_.fault({part, at}, kind);
    return own != nullptr ? own : plant_.fault({Part::line, line.at}, kind);
  };
  if (plant_.fault({Part::line, line.at}, FaultKind::unplugged) != nullptr) return Reason::no_answer;
  if (has(FaultKind::silence) != nullptr || has(FaultKind::exception) != nullptr) return Reason::no_answer;
  // A free-running sensor is waited for by nobody: what is late is only older.
  const config::LineWiring& wired = wiring_.lines[line.at];
  if (const plant::Fault* late = has(FaultKind::late); late != nullptr &&
                                                       wired.carries == config::Carries::modbus &&
                                                       std::get<Duration>(late->amount) >= wired.timeout)
    return Reason::no_answer;
  if (has(FaultKind::bad_sum) != nullptr || has(FaultKind::garbage) != nullptr) return Reason::bad_frame;
  return Reason::none;
}

bool PlantStandIn::advance(Instant now) {
  if (at_) plant_.advance(now - *at_);
  at_ = now;
  read_gauges(now);
  read_the_rest(now);
  return true;
}

void PlantStandIn::read_gauges(Instant now) {
  for (std::size_t at = 0; at < wiring_.gauges.size(); ++at) {
    const config::GaugeWiring& gauge = wiring_.gauges[at];
    if (now < due_[at]) continue;
    due_[at] = now + gauge.every;
    GaugeSample& sample = readings_.gauges[at];
    sample = {.at = now, .fault = spoilt(Part::gauge, at, gauge.line)};
    if (sample.fault != Reason::none) continue;
    sample.value = plant_.sound({at});
    const auto* modbus = std::get_if<config::ModbusGauge>(&gauge.source);
    if (modbus != nullptr && modbus->air) sample.air = plant_.air();
  }
}

/// What guards a pump is read in every scan.
void PlantStandIn::read_the_rest(Instant now) {
  for (std::size_t at = 0; at < readings_.switches.size(); ++at) {
    const Reason fault = spoilt(Part::input, at, wiring_.switches[at].line);
    readings_.switches[at] = {.at = now, .closed = {}, .fault = fault};
    if (fault == Reason::none) readings_.switches[at].closed = plant_.closed({at});
  }
  for (std::size_t at = 0; at < readings_.meters.size(); ++at) {
    const Reason fault = spoilt(Part::meter, at, wiring_.meters[at].line);
    readings_.meters[at] = {.at = now, .value = {}, .fault = fault};
    if (fault == Reason::none) readings_.meters[at].value = plant_.load({at}).value();
  }
  for (std::size_t at = 0; at < readings_.contacts.size(); ++at) {
    const Reason fault = spoilt(Part::contact, at, wiring_.contacts[at].line);
    readings_.contacts[at] = {.at = now, .on = {}, .fault = fault};
    if (fault == Reason::none) readings_.contacts[at].on = plant_.coil({at});
  }
  for (std::size_t at = 0; at < readings_.lines.size(); ++at) {
    LineSample& line = readings_.lines[at];
    line.open = plant_.fault({Part::line, at}, FaultKind::unplugged) == nullptr;
    const bool answers = spoilt(Part::line, at, {at}) == Reason::none;
    ++(answers ? line.answered : line.failed);
  }
}

void PlantStandIn::drive(const std::vector<Order>& contacts) {
  for (std::size_t at = 0; at < contacts.size(); ++at) {
    if (spoilt(Part::contact, at, wiring_.contacts[at].line) != Reason::none) continue;
    const bool on = contacts[at] == Order::on;
    if (on && wiring_.contacts[at].refresh) plant_.hold({at}, wiring_.contacts[at].refresh->hold);
    plant_.write({at}, on);
  }
}

}  // namespace stillwell::rehearsal
