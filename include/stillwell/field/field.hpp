#pragma once
// Everything that is wired: one thread a line, readings in, orders out. No call here waits for a wire, except
// release().

#include "stillwell/config/wiring.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/contact.hpp"
#include "stillwell/reading/sample.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace stillwell::field {

class Field {
 public:
  /// `fresh` is called from the line threads whenever a reading or a confirmation arrived; it must neither
  /// block nor throw.
  Field(const config::Wiring& wiring, std::function<void()> fresh);
  ~Field();  ///< stops the threads; contacts are not touched: call release() first
  Field(const Field&) = delete;
  Field& operator=(const Field&) = delete;

  void start();

  /// The newest of everything. Copies under a short lock.
  [[nodiscard]] Readings latest() const;

  /// Why a line is not open, in words for a person, in the order of the lines; empty for one that is.
  [[nodiscard]] std::vector<std::string> troubles() const;

  /// What the contacts shall be, as solved at `at`. Each line's thread writes and reads back; an off
  /// overtakes everything else on its line. An order that is not renewed for too long turns into off by
  /// itself.
  void drive(const std::vector<Order>& contacts, Instant at);

  /// Orders every contact off and waits until all are confirmed or the limit is over. True when all are.
  bool release(Duration limit);

  /// A counter per line thread that moves while the thread is alive; for the watchdog.
  [[nodiscard]] std::vector<std::uint64_t> heartbeats() const;

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stillwell::field
