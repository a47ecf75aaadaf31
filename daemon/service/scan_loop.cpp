#include "stillwell/service/scan_loop.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/service/wall_clock.hpp"

#include <algorithm>
#include <exception>

#include <spdlog/spdlog.h>

namespace stillwell::service {

ScanLoop::ScanLoop(Parts parts, Memory memory) : parts_{std::move(parts)}, memory_{std::move(memory)} {}

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
  const bool disk_is_well = parts_.is_kept(now);
  // A disk that fails must not keep the water from people: what a start needs of it is then made up for when
  // the daemon starts anew (spend_starts).
  const auto wall = parts_.wall();
  InputImage image{.readings = parts_.field.latest(),
                   .commands = parts_.inbox.take(),
                   .local = wall ? to_local(*wall) : std::nullopt,
                   .wall = wall,
                   .state_is_kept = disk_is_well,
                   .durable = disk_is_well ? parts_.durable() : now,
                   .observing = parts_.observing};
  const Outcome outcome = solve(parts_.model, memory_, image, now);
  parts_.field.drive(outcome.contacts, now);
  hand_over(outcome);
  parts_.inbox.answer(outcome.answers);
  parts_.tell(outcome);
}

/// What guards changes with an event, or says so, or by the hour's starts growing old, and is handed over at
/// once; the accounts ride along, and go by themselves now and then.
void ScanLoop::hand_over(const Outcome& outcome) {
  constexpr Duration kAgeing = std::chrono::minutes{1};
  if (kept_ && outcome.events.empty() && !outcome.must_be_kept && outcome.at - looked_ < kAgeing) return;
  looked_ = outcome.at;
  Kept kept = keep(parts_.model, memory_, outcome.at);
  const bool young = outcome.at - kept_at_ < kAccountsEvery;
  if (kept_ && kept_->guards_as(kept) && (young || kept_ == kept)) return;
  kept_ = kept;
  kept_at_ = outcome.at;
  parts_.keep(std::move(kept), outcome.at);
}

/// At an orderly end.
void ScanLoop::hand_over_all(Instant now) {
  Kept kept = keep(parts_.model, memory_, now);
  if (kept_ != kept) parts_.keep(std::move(kept), now);
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
  hand_over_all(field::now());
} catch (const std::exception& fault) {
  parts_.field.drive(std::vector<Order>(parts_.model.contacts.size(), Order::off), field::now());
  well_ = false;
  spdlog::critical("the scan failed and every contact is ordered off: {}", fault.what());
}

}  // namespace stillwell::service
