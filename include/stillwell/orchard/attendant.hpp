#pragma once
// Who answers on a line: takes the bytes that the computer sent and says which bytes go back, and when. No
// file and no clock: the line's thread hands over both.

#include "stillwell/config/configuration.hpp"
#include "stillwell/orchard/module.hpp"
#include "stillwell/orchard/yard.hpp"

#include <memory>

namespace stillwell::orchard {

struct Sending {
  Moment due{};
  Bytes bytes;
};

class Attendant {
 public:
  Attendant() = default;
  Attendant(const Attendant&) = delete;
  Attendant& operator=(const Attendant&) = delete;
  virtual ~Attendant() = default;

  /// Bytes from the computer, possibly none: called at least every 20 ms.
  virtual void hear(ByteView bytes, Moment now) = 0;
  /// When there is something to send next.
  [[nodiscard]] virtual std::optional<Moment> next() const = 0;
  /// What is due to be sent, once.
  virtual std::optional<Bytes> due(Moment now) = 0;
};

/// How long one character takes on a line: 11 bits (MODBUS over Serial Line V1.02, 2.5.1), which is also
/// what 8N1 with the usual pause comes to.
Duration character_time(const config::LineWiring& line);

/// For a line that carries Modbus: all its stations.
std::unique_ptr<Attendant> attend_modbus(Yard& yard, LineIndex line, const config::Wiring& wiring);

/// For a line that carries range frames: its one sensor, free-running or asked.
std::unique_ptr<Attendant> attend_frames(Yard& yard, GaugeIndex gauge, const config::Wiring& wiring);

}  // namespace stillwell::orchard
