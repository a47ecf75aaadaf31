#pragma once
// Ever longer waits between attempts at something that does not work, up to a cap.

#include "stillwell/quantity/time.hpp"

#include <algorithm>

namespace stillwell::field {

class Backoff {
 public:
  Backoff(Duration first, Duration most) : first_{first}, most_{most}, next_{first} {}

  /// How long to wait before the next attempt: `first`, then twice as long each time.
  Duration next() {
    const Duration wait = next_;
    next_ = std::min(next_ * 2, most_);
    return wait;
  }
  void reset() { next_ = first_; }

 private:
  Duration first_{};
  Duration most_{};
  Duration next_{};
};

}  // namespace stillwell::field
