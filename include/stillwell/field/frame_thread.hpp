#pragma once
// A line with one range sensor that writes frames, by itself or when asked.

#include "stillwell/config/wiring.hpp"
#include "stillwell/field/frames/decoder.hpp"
#include "stillwell/field/line_thread.hpp"
#include "stillwell/field/serial.hpp"

#include <optional>

namespace stillwell::field {

class FrameThread final : public LineThread {
 public:
  /// The line's first gauge is the one that is read: frames carry no address, so that a second gauge on the
  /// same line would be given the first one's readings. The format must be one that the decoder takes.
  FrameThread(const config::Wiring& wiring, LineIndex line, Board& board, Orders& orders);

 private:
  struct Sensor {
    GaugeIndex gauge;
    field::FrameFormat format;
    Duration every{};
    FrameDecoder decoder;
  };
  static std::optional<Sensor> sensor_on(const config::Wiring& wiring, LineIndex line);

  [[nodiscard]] bool is_open() const override { return port_.is_open(); }
  std::optional<std::string> open() override { return port_.open(wired_); }
  void opened(Instant now) override;
  void failed(Instant now) override;
  Instant turn(Instant now) override;
  [[nodiscard]] LineSample health() const override;

  void ask(Instant now);
  void listen(Instant until);
  void miss(Instant now);

  config::LineWiring wired_;
  Board& readings_;
  SerialPort port_;
  std::optional<Sensor> sensor_;
  Instant ask_at_{};
  Instant missed_at_{};  ///< when a frame will have been missed
  bool heard_ = false;   ///< bytes since the last frame
  std::uint64_t frames_ = 0;
  std::uint64_t missed_ = 0;
};

}  // namespace stillwell::field
