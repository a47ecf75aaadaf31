#pragma once
// Says whether every essential thread has moved lately; the service manager's watchdog is fed only while all
// do. The network's thread is not essential.

#include "stillwell/quantity/time.hpp"
#include "stillwell/report/scan_health.hpp"

#include <cstdint>
#include <vector>

namespace stillwell::service {

class ThreadWatch {
 public:
  /// A thread that has not moved for so long is stuck: longer than any single wait of a line's thread.
  static constexpr Duration kStuckAfter = std::chrono::seconds{10};

  /// A scan that waits for its timer does not move meanwhile.
  explicit ThreadWatch(Duration scan) : patience_{kStuckAfter + scan} {}

  /// `beats`: a counter for each line thread that moves while it lives.
  bool all_move(std::vector<std::uint64_t> beats, const report::ScanHealth& health, Instant now);

 private:
  Duration patience_;
  std::vector<std::uint64_t> last_;
  std::vector<Instant> moved_;
};

}  // namespace stillwell::service
