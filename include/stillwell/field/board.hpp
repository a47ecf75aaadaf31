#pragma once
// Where the line threads hang up what they read, for the scan to take. Every call is short.

#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/sample.hpp"

#include <condition_variable>
#include <cstddef>
#include <functional>
#include <mutex>
#include <string>
#include <vector>

namespace stillwell::field {

struct BoardSize {
  std::size_t gauges = 0;
  std::size_t switches = 0;
  std::size_t meters = 0;
  std::size_t contacts = 0;
  std::size_t lines = 0;
};

class Board {
 public:
  /// `fresh` may be empty; it is called outside the lock, and must neither block nor throw.
  Board(const BoardSize& size, std::function<void()> fresh);

  void put(GaugeIndex gauge, const GaugeSample& sample);
  void put(SwitchIndex input, const SwitchSample& sample);
  void put(MeterIndex meter, const MeterSample& sample);
  void put(ContactIndex contact, const ContactSample& sample);
  /// Nobody is called for these. Its trouble is put by the other call and stays.
  void put(LineIndex line, const LineSample& sample);

  /// Why a line is not open; empty when it is.
  void put_trouble(LineIndex line, std::string text);
  [[nodiscard]] std::vector<std::string> troubles() const;

  [[nodiscard]] Readings latest() const;

  /// Waits until every contact was confirmed off after `since`, or until `limit`. True when all were.
  bool wait_all_off(Instant since, Instant limit);

 private:
  mutable std::mutex mutex_;
  std::condition_variable contact_changed_;
  Readings readings_;
  std::function<void()> fresh_;
};

}  // namespace stillwell::field
