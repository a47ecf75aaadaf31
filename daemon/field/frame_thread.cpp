#include "stillwell/field/frame_thread.hpp"

#include "stillwell/field/clock.hpp"

#include <algorithm>
#include <array>
#include <chrono>

namespace stillwell::field {
namespace {

/// How long the thread listens before it looks whether it shall stop.
constexpr Duration kListen = std::chrono::milliseconds{100};

/// A frame is missed when none came in so many periods: one may be lost or late.
constexpr int kPatience = 2;

}  // namespace

std::optional<FrameThread::Sensor> FrameThread::sensor_on(const config::Wiring& wiring, LineIndex line) {
  for (std::size_t at = 0; at < wiring.gauges.size(); ++at) {
    const config::GaugeWiring& gauge = wiring.gauges[at];
    const auto* format = std::get_if<FrameFormat>(&gauge.source);
    if (gauge.line != line || format == nullptr) continue;
    const auto decoder = FrameDecoder::make(*format);
    if (!decoder) return std::nullopt;
    return Sensor{.gauge = {at}, .format = *format, .every = gauge.every, .decoder = *decoder};
  }
  return std::nullopt;
}

FrameThread::FrameThread(const config::Wiring& wiring, LineIndex line, Board& board, Orders& orders)
    : LineThread{line, board, orders},
      wired_{wiring.lines[line.at]},
      readings_{board},
      sensor_{sensor_on(wiring, line)} {}

void FrameThread::opened(Instant now) {
  if (!sensor_) return;
  const auto fresh = FrameDecoder::make(sensor_->format);  // half a frame from before must not be completed
  if (fresh) sensor_->decoder = *fresh;
  heard_ = false;
  ask_at_ = now;
  missed_at_ = now + sensor_->every * kPatience;
}

void FrameThread::failed(Instant now) {
  if (sensor_)
    readings_.put(sensor_->gauge, GaugeSample{.at = now, .value = {}, .air = {}, .fault = Reason::no_answer});
}

Instant FrameThread::turn(Instant now) {
  if (!sensor_) return now + kListen;
  if (sensor_->format.ask && now >= ask_at_) ask(now);
  Instant until = std::min(now + kListen, missed_at_);
  if (sensor_->format.ask) until = std::min(until, ask_at_);
  if (port_.is_open()) listen(until);
  const Instant done = field::now();
  if (port_.is_open() && done >= missed_at_) miss(done);
  return now;  // it waited by listening
}

void FrameThread::ask(Instant now) {
  port_.write(*sensor_->format.ask);
  ask_at_ = std::max(ask_at_ + sensor_->every, now);
}

void FrameThread::listen(Instant until) {
  std::array<std::uint8_t, 256> room{};
  const auto bytes = port_.read(room, until - now());
  if (bytes.empty()) return;
  heard_ = true;
  const Instant at = now();
  const auto readings = sensor_->decoder.feed(bytes);
  if (readings.empty()) return;
  // Of several at once only the newest is worth a scan.
  readings_.put(sensor_->gauge,
                GaugeSample{.at = at, .value = readings.back(), .air = {}, .fault = Reason::none});
  frames_ += readings.size();
  heard_ = false;
  missed_at_ = at + sensor_->every * kPatience;
}

void FrameThread::miss(Instant now) {
  const Reason reason = heard_ ? Reason::bad_frame : Reason::no_answer;
  readings_.put(sensor_->gauge, GaugeSample{.at = now, .value = {}, .air = {}, .fault = reason});
  ++missed_;
  heard_ = false;
  missed_at_ = now + sensor_->every;
}

LineSample FrameThread::health() const {
  return {.open = port_.is_open(), .answered = frames_, .failed = missed_};
}

}  // namespace stillwell::field
