#include "stillwell/field/orders.hpp"

#include <utility>

namespace stillwell::field {

void Orders::drive(const std::vector<Order>& contacts, Instant solved) {
  {
    const std::lock_guard lock{mutex_};
    if (releasing_) return;
    standing_.solved = solved;
    if (standing_.contacts == contacts) return;
    standing_.contacts = contacts;
    ++changes_;
  }
  changed_.notify_all();
}

void Orders::begin_release(Instant now) {
  {
    const std::lock_guard lock{mutex_};
    releasing_ = true;
    standing_.contacts.clear();
    standing_.solved = now;
    ++standing_.insistence;
    ++changes_;
  }
  changed_.notify_all();
}

void Orders::end_release() {
  const std::lock_guard lock{mutex_};
  releasing_ = false;
}

void Orders::stop() {
  {
    const std::lock_guard lock{mutex_};
    stopped_ = true;
    ++changes_;
  }
  changed_.notify_all();
}

StandingOrders Orders::newest() const {
  const std::lock_guard lock{mutex_};
  return standing_;
}

bool Orders::stopped() const {
  const std::lock_guard lock{mutex_};
  return stopped_;
}

void Orders::wait(std::uint64_t& seen, Instant limit) {
  std::unique_lock lock{mutex_};
  const std::chrono::steady_clock::time_point until{limit.time_since_epoch()};
  changed_.wait_until(lock, until, [&] { return changes_ != seen; });
  seen = changes_;
}

}  // namespace stillwell::field
