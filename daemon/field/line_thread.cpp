#include "stillwell/field/line_thread.hpp"

#include "stillwell/field/clock.hpp"

#include <algorithm>

namespace stillwell::field {
namespace {

/// However little there is to do, the watchdog wants to see the thread alive.
constexpr Duration kLongestSleep = std::chrono::milliseconds{500};

}  // namespace

void LineThread::run() {
  std::uint64_t seen = 0;
  while (!orders_.stopped()) {
    heartbeat_.fetch_add(1, std::memory_order_relaxed);
    const Instant at = now();
    const bool was_open = is_open();
    const Instant idle_until = was_open ? turn(at) : reopen(at);
    if (was_open && !is_open()) {
      // Closed at once: a device that is plugged in again while its old port is open gets another name.
      board_.put_trouble(line_, "it was lost; waiting for it to come back");
      open_at_ = now() + reopening_.next();
      failed(now());
    }
    tell();
    if (idle_until > now()) orders_.wait(seen, std::min(idle_until, now() + kLongestSleep));
  }
}

Instant LineThread::reopen(Instant now) {
  if (now < open_at_) return open_at_;
  const auto failure = open();
  board_.put_trouble(line_, failure.value_or(""));
  if (failure) {
    failed(field::now());
    open_at_ = field::now() + reopening_.next();
    return open_at_;
  }
  answered_at_open_ = health().answered;
  opened(field::now());
  return now;
}

void LineThread::tell() {
  const LineSample sample = health();
  // A port that opens and dies without a word is no better than one that does not open.
  if (sample.answered > answered_at_open_) reopening_.reset();
  board_.put(line_, sample);
}

}  // namespace stillwell::field
