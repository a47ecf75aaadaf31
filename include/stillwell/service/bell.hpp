#pragma once
// What wakes the scan before its time: any thread rings, nobody waits for the ringing.

#include "stillwell/quantity/time.hpp"

#include <condition_variable>
#include <mutex>

namespace stillwell::service {

class Bell {
 public:
  /// Something new is there to be solved now.
  void ring();
  /// No more scans.
  void close();
  /// Waits until the bell rings or `due` has come. False once closed.
  bool wait_until(Instant due);

 private:
  std::mutex mutex_;
  std::condition_variable changed_;
  bool rung_ = false;
  bool closed_ = false;
};

}  // namespace stillwell::service
