#include "stillwell/reading/delay.hpp"

#include <algorithm>

namespace stillwell {

bool Delay::step(bool condition, Duration limit, Instant now) {
  constexpr int kRefill = 4;  // slower than it drains, so that flapping adds up
  // Without room to overdraw, a condition seen true and false in turn would refill a little each time before
  // it is looked at again, and never be found at its limit.
  constexpr int kOverdraft = 2;
  if (last_) {
    const Duration passed = now - *last_;
    spent_ += held_ ? passed : -passed / kRefill;
    spent_ = std::clamp(spent_, Duration{0}, kOverdraft * limit);
  }
  last_ = now;
  held_ = condition;
  return condition && spent_ >= limit;
}

void Delay::pause() {
  last_.reset();
  held_ = false;
}

}  // namespace stillwell
