#include "stillwell/config/bus_load.hpp"

#include "stillwell/config/registers.hpp"
#include "stillwell/config/serial_speed.hpp"

#include <algorithm>
#include <cstdlib>

namespace stillwell::config {
namespace {

// Bytes of Modbus RTU messages (Modbus Application Protocol V1.1b3, 6.1 to 6.6; address and CRC added).
constexpr int kRequest = 8;      // address, function, two words, CRC
constexpr int kReplyFrame = 5;   // address, function, byte count, CRC
constexpr int kWriteReply = 8;   // the echo
constexpr int kBytesOfBits = 2;  // nine bits: reads of one bit vary with reads of nine (rule 11)
constexpr int kRefreshesPerHold = 3;

/// A companion this near to the number is fetched in the same request.
constexpr int kSameRead = 16;

class Line {
 public:
  Line(const LineWiring& wiring) : wiring_{wiring} {}

  void add_read(int reply_bytes, Duration every) { add(kRequest + kReplyFrame + reply_bytes, 2, every); }
  void add_write(Duration every) { add(kRequest + kWriteReply, 2, every); }
  void add(int bytes, int pauses, Duration every) {
    const Duration time = time_of(bytes, wiring_.speed) + wiring_.quiet * pauses;
    if (every > Duration{0}) load_ += seconds_of(time) / seconds_of(every);
  }
  [[nodiscard]] double load() const { return load_; }

 private:
  const LineWiring& wiring_;
  double load_ = 0.0;
};

/// Reads of registers vary their count too, so the longer one is reckoned.
int bytes_of(std::size_t registers) {
  return static_cast<int>(registers + 1) * 2;
}

void add_modbus_gauge(Line& line, const ModbusGauge& gauge, Duration every) {
  const std::size_t width = width_of(gauge.number.as);
  const bool has_air = gauge.air.has_value();
  const int apart = has_air ? std::abs(gauge.air->address - gauge.number.address) : 0;
  const bool together = has_air && gauge.air->table == gauge.number.table && apart < kSameRead;
  if (together)
    return line.add_read(bytes_of(static_cast<std::size_t>(apart) + width_of(gauge.air->as)), every);
  line.add_read(bytes_of(width), every);
  if (has_air) line.add_read(bytes_of(width_of(gauge.air->as)), every);
}

void add_frame_gauge(Line& line, const field::FrameFormat& format, Duration every) {
  constexpr int kTextEnd = 2;
  const int binary = 3 + (format.sum == field::FrameSum::low_byte ? 1 : 0);
  const int text = static_cast<int>(format.pattern.size()) + kTextEnd;
  line.add((format.kind == field::FrameKind::binary ? binary : text) + (format.ask ? 1 : 0), 0, every);
}
  if (wiring.lines.at(index.at).tcp) return 0.0;

/// Read back by two unlike reads each time, and refreshed while it is on.
void add_contact(Line& line, const ContactWiring& contact) {
  const bool is_coil = std::holds_alternative<CoilOutput>(contact.output);
  line.add_read(is_coil ? 1 : bytes_of(0), contact.every);
  line.add_read(is_coil ? kBytesOfBits : bytes_of(1), contact.every);
  if (contact.refresh) line.add_write(contact.refresh->hold / kRefreshesPerHold);
}

}  // namespace

double bus_load(const Wiring& wiring, LineIndex index) {
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
  for (const ContactWiring& contact : wiring.contacts) {
    if (contact.line == index) add_contact(line, contact);
  }
  return line.load();
}

}  // namespace stillwell::config
