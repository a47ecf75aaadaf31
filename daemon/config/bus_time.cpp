#include "stillwell/config/bus_time.hpp"

#include "stillwell/config/registers.hpp"
#include "stillwell/config/serial_speed.hpp"

namespace stillwell::config {
namespace {

// Bytes of Modbus RTU messages (Modbus Application Protocol V1.1b3, 6.1 to 6.6; address and CRC added).
constexpr int kRequest = 8;      // address, function, two words, CRC
constexpr int kReplyFrame = 5;   // address, function, byte count, CRC
constexpr int kWriteReply = 8;   // the echo
constexpr int kBytesOfBits = 2;  // nine bits: reads of one bit vary with reads of nine (rule 11)
constexpr int kRefreshesPerHold = 3;

class Line {
 public:
  explicit Line(const LineWiring& wiring) : wiring_{wiring} {}

  void add_read(int reply_bytes, Duration every) { add(kRequest + kReplyFrame + reply_bytes, 2, every); }
  void add_write(Duration every) { add(kRequest + kWriteReply, 2, every); }
  void add(int bytes, int pauses, Duration every) {
    if (every > Duration{0})
      traffic_.push_back({time_of(bytes, wiring_.speed) + wiring_.quiet * pauses, every});
  }
  [[nodiscard]] const std::vector<Traffic>& traffic() const { return traffic_; }

 private:
  const LineWiring& wiring_;
  std::vector<Traffic> traffic_;
};

/// Reads of registers vary their count too, so the longer one is reckoned.
int bytes_of(int registers) {
  return (registers + 1) * 2;
}

void add_modbus_gauge(Line& line, const ModbusGauge& gauge, Duration every) {
  for (const GaugeRead& read : reads_of(gauge))
    line.add_read(bytes_of(read.span.count), every);
}

void add_frame_gauge(Line& line, const field::FrameFormat& format, Duration every) {
  constexpr std::size_t kTextEnd = 2;
  const bool is_binary = format.kind == field::FrameKind::binary;
  const std::size_t frame = is_binary ? field::binary_frame_size(format) : format.pattern.size() + kTextEnd;
  line.add(static_cast<int>(frame) + (format.ask ? 1 : 0), 0, every);
}

/// Read back by two unlike reads each time, and refreshed while it is on.
void add_contact(Line& line, const ContactWiring& contact) {
  const bool is_coil = std::holds_alternative<CoilOutput>(contact.output);
  line.add_read(is_coil ? 1 : bytes_of(0), contact.every);
  line.add_read(is_coil ? kBytesOfBits : bytes_of(1), contact.every);
  if (contact.refresh) line.add_write(contact.refresh->hold / kRefreshesPerHold);
}

}  // namespace

std::vector<Traffic> traffic_of(const Wiring& wiring, LineIndex index) {
  Line line(wiring.lines.at(index.at));
  for (const GaugeWiring& gauge : wiring.gauges) {
    if (gauge.line != index) continue;
    const auto* modbus = std::get_if<ModbusGauge>(&gauge.source);
    if (modbus != nullptr) add_modbus_gauge(line, *modbus, gauge.every);
    if (modbus == nullptr) add_frame_gauge(line, std::get<field::FrameFormat>(gauge.source), gauge.every);
  }
  for (const SwitchWiring& input : wiring.switches) {
    if (input.line == index) line.add_read(kBytesOfBits, input.every);
  }
  for (const MeterWiring& meter : wiring.meters) {
    if (meter.line == index) line.add_read(bytes_of(span_of(meter.number).count), meter.every);
  }
  for (const ContactWiring& contact : wiring.contacts) {
    if (contact.line == index) add_contact(line, contact);
  }
  return line.traffic();
}

Duration write_time(const LineWiring& line) {
  return time_of(kRequest + kWriteReply, line.speed) + line.quiet * 2;
}

Duration unanswered_time(const LineWiring& line) {
  return time_of(kRequest, line.speed) + line.quiet + line.timeout;
}

}  // namespace stillwell::config
