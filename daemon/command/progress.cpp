#include "stillwell/command/progress.hpp"

#include "stillwell/quantity/units.hpp"

#include <cmath>

namespace stillwell::command {

void Progress::show(double share) {
  constexpr unsigned kCallsForALook = 1024;  // at the clock
  if (out_ == nullptr || ++calls_ % kCallsForALook != 0) return;
  const auto now = Clock::now();
  if (now < due_ || share <= 0.0) return;
  due_ = now + std::chrono::milliseconds{200};
  const std::chrono::duration<double> spent = now - begun_;
  const std::chrono::seconds left{std::lround(spent.count() * (1.0 - share) / share)};
  *out_ << '\r' << verb_ << ' ' << std::lround(share * 100.0) << " %, " << to_text(Duration{left})
        << " left\x1b[K" << std::flush;
  shown_ = true;
}

void Progress::clear() {
  if (shown_) *out_ << "\r\x1b[K" << std::flush;
  shown_ = false;
}

}  // namespace stillwell::command
