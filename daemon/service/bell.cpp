#include "stillwell/service/bell.hpp"

namespace stillwell::service {

void Bell::ring() {
  {
    const std::lock_guard lock{mutex_};
    rung_ = true;
  }
  changed_.notify_one();
}

void Bell::close() {
  {
    const std::lock_guard lock{mutex_};
    closed_ = true;
  }
  changed_.notify_all();
}

bool Bell::wait_until(Instant due) {
  const std::chrono::steady_clock::time_point until{
      std::chrono::duration_cast<std::chrono::steady_clock::duration>(due.time_since_epoch())};
  std::unique_lock lock{mutex_};
  changed_.wait_until(lock, until, [this] { return rung_ || closed_; });
  rung_ = false;
  return !closed_;
}

}  // namespace stillwell::service
