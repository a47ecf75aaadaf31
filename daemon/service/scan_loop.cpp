#include "stillwell/service/scan_loop.hpp"

#include "stillwell/field/clock.hpp"

#include <algorithm>
#include <exception>

#include <spdlog/spdlog.h>

namespace stillwell::service {

ScanLoop::ScanLoop(Parts parts) : parts_{std::move(parts)}, memory_{remember_nothing(parts_.model)} {}

ScanLoop::~ScanLoop() {
  stop();
}

void ScanLoop::start() {
  thread_ = std::thread{[this] { run(); }};
}

void ScanLoop::stop() {
  parts_.bell.close();
  if (thread_.joinable()) thread_.join();
}

report::ScanHealth ScanLoop::health() const {
  const std::lock_guard lock{mutex_};
  return health_;
}

void ScanLoop::scan(Instant now) {
  InputImage image{.readings = parts_.field.latest(),
                   .commands = parts_.inbox.take(),
                   .minute_of_day = parts_.minute_of_day()};
  const Outcome outcome = solve(parts_.model, memory_, image, now);
  parts_.field.drive(outcome.contacts, now);
  parts_.inbox.answer(outcome.answers);
  parts_.tell(outcome);
}

/// A fault of our own ends the loop with every contact ordered off; the service manager starts us anew.
void ScanLoop::run() try {
  Instant due = field::now();
  while (parts_.bell.wait_until(due)) {
    const Instant now = field::now();
    scan(now);
    const std::lock_guard lock{mutex_};
    ++health_.scans;
    if (now < due) continue;  // rung, not due
    const Duration delay = now - due;
    health_.worst_delay = std::max(health_.worst_delay, delay);
    health_.missed += static_cast<std::uint64_t>(delay / parts_.model.scan);
    due = std::max(due + parts_.model.scan, now);
  }
} catch (const std::exception& fault) {
  parts_.field.drive(std::vector<Order>(parts_.model.contacts.size(), Order::off), field::now());
  well_ = false;
  spdlog::critical("the scan failed and every contact is ordered off: {}", fault.what());
}

}  // namespace stillwell::service
