#pragma once
// When a hub that has come is told everything once more. It reads the documents of many gateways at once
// then, so that each waits a while of its own; and one that comes and goes is not told each time. Pure.

#include <chrono>
#include <cstdint>
#include <optional>

namespace stillwell::report {

class HubBirth {
 public:
  using Time = std::chrono::steady_clock::time_point;

  /// `own`: any number that differs from gateway to gateway; the wait is 1 s to 5 s.
  explicit HubBirth(std::uint64_t own);

  void online(Time now);
  /// True once for each time that it is to be told.
  bool take_due(Time now);
  /// Everything was told for another reason.
  void told(Time now);

 private:
  std::chrono::milliseconds wait_;
  std::optional<Time> due_;
  std::optional<Time> told_;
};

}  // namespace stillwell::report
