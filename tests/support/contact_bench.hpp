#pragma once
// A Modbus line with one contact on it, for tests of the field.

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"

#include <algorithm>
#include <chrono>
#include <optional>
#include <vector>

#include "support/field_bench.hpp"
#include "support/modbus_module.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"

namespace support {

struct ContactBench {
  static constexpr int kStation = 10;
  static constexpr int kCoil = 2;

  ModbusModule module{kStation};
  PtyPeer peer{[this](const Bytes& request) { return module.serve(request); }};
  stillwell::config::Wiring wiring;

  explicit ContactBench(stillwell::Duration timeout = std::chrono::seconds{1}) {
    wiring.lines = {bench_line(peer.path(), timeout)};
    wiring.contacts = {bench_contact(kStation, kCoil)};
    wiring.scan = std::chrono::seconds{1};
  }
};

/// The first contact as it was read back.
inline std::optional<bool> contact(const stillwell::field::Field& field) {
  return field.latest().contacts.at(0).on;
}

/// Drives again and again, as the scan does, until the condition holds.
template <class Condition>
bool drive_until(stillwell::field::Field& field, stillwell::Order order, Condition&& condition) {
  return eventually([&] {
    field.drive({order}, stillwell::field::now());
    return condition();
  });
}

/// Whether a coil is written; and how often it was, to on or to off.
inline bool is_write(const Bytes& request) {
  return request[1] == 5;
}
inline int writes_of(const std::vector<Bytes>& requests, bool on) {
  const auto fits = [&](const Bytes& request) { return is_write(request) && (request[4] == 0xFF) == on; };
  return static_cast<int>(std::count_if(requests.begin(), requests.end(), fits));
}

}  // namespace support
