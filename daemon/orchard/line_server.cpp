#include "stillwell/orchard/line_server.hpp"

#include <algorithm>
#include <exception>
#include <stdexcept>

namespace stillwell::orchard {
namespace {

using namespace std::chrono_literals;

constexpr Duration kTurn = 20ms;
constexpr Duration kQuietLine = 1s;  // nothing heard for so long: the computer may have gone

/// Whoever answers on a line. A range-frame line is point to point: it has one sensor.
std::unique_ptr<Attendant> attend(Yard& yard, LineIndex line, const config::Wiring& wiring) {
  if (wiring.lines[line.at].tcp) {
    throw std::runtime_error{
        "line " + wiring.lines[line.at].id +
        ": the orchard has serial ports only; give the line a port and a speed to try it"};
  }
  if (wiring.lines[line.at].carries == config::Carries::pins) {
    throw std::runtime_error{"board " + wiring.lines[line.at].id +
                             ": the orchard has no pins; give what is on it a line to try it"};
  }
  if (wiring.lines[line.at].carries == config::Carries::modbus) return attend_modbus(yard, line, wiring);
  std::optional<GaugeIndex> sensor;
  for (std::size_t at = 0; at < wiring.gauges.size(); ++at) {
    if (wiring.gauges[at].line != line) continue;
    if (sensor)
      throw std::runtime_error{"line " + wiring.lines[line.at].id + ": two range-frame gauges on one line"};
    sensor = GaugeIndex{at};
  }
  return sensor ? attend_frames(yard, *sensor, wiring) : nullptr;
}

}  // namespace

LineServer::LineServer(Yard& yard, LineIndex line, const config::Wiring& wiring)
    : yard_{yard},
      line_{plant::Part::line, line.at},
      character_{character_time(wiring.lines[line.at])},
      attendant_{attend(yard, line, wiring)},
      port_{wiring.lines[line.at].port} {
  port_.plug();
  thread_ = std::thread{[this] { serve(); }};
}

LineServer::~LineServer() {
  stop_ = true;
  thread_.join();
}

void LineServer::serve() {
  while (!stop_) {
    try {
      turn();
    } catch (const std::exception&) {
      // Only plugging in again can fail here (the name was taken meanwhile); it is tried anew, at leisure.
      std::this_thread::sleep_for(kQuietLine);
    }
  }
}

/// Plugs and unplugs the port as the plant's faults say. False while it is unplugged.
bool LineServer::follow_the_plug() {
  const bool wanted = yard_.with(
      [&](plant::Plant& plant) { return plant.fault(line_, plant::FaultKind::unplugged) == nullptr; });
  if (wanted && !port_.plugged()) port_.plug();
  if (!wanted) port_.unplug();
  return wanted;
}

void LineServer::turn() {
  if (!follow_the_plug()) {
    std::this_thread::sleep_for(kTurn);
    if (attendant_) attendant_->due(Clock::now());  // what is said into a pulled plug is lost
    return;
  }
  const Bytes heard = port_.read(time_to_listen());
  const Moment now = Clock::now();
  if (!heard.empty()) heard_at_ = now;
  if (now - heard_at_ > kQuietLine) {
    port_.forget_exclusive_use();
    heard_at_ = now;
  }
  if (!attendant_) return;
  attendant_->hear(heard, now);
  if (const auto bytes = attendant_->due(Clock::now())) port_.write(*bytes, character_);
}

Duration LineServer::time_to_listen() const {
  const auto next = attendant_ ? attendant_->next() : std::nullopt;
  if (!next) return kTurn;
  return std::clamp(std::chrono::duration_cast<Duration>(*next - Clock::now()), Duration{0}, kTurn);
}

}  // namespace stillwell::orchard
