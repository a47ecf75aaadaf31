#include "stillwell/service/keeper.hpp"

#include "stillwell/field/clock.hpp"

#include <utility>

namespace stillwell::service {
namespace {

/// A disk that refused is asked again after so long; often enough for a person, seldom enough for a card.
constexpr std::chrono::seconds kRetry{5};

}  // namespace

Keeper::Keeper(Parts parts) : parts_{std::move(parts)}, thread_{[this] { run(); }} {}

Keeper::~Keeper() {
  {
    const std::lock_guard lock{mutex_};
    stopping_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void Keeper::keep(Kept kept, Instant as_of) {
  {
    const std::lock_guard lock{mutex_};
    waiting_ = std::move(kept);
    waiting_as_of_ = as_of;
    ++handed_;
  }
  changed_.notify_all();
}

bool Keeper::settle(Duration limit) {
  std::unique_lock lock{mutex_};
  const std::uint64_t wanted = handed_;
  changed_.wait_for(lock, limit, [&] { return durable_ >= wanted || !trouble_.empty(); });
  return durable_ >= wanted;
}

bool Keeper::is_well(Instant now) const {
  const std::lock_guard lock{mutex_};
  return trouble_.empty() && !(writing_since_ && now - *writing_since_ > kHangs);
}

Instant Keeper::durable() const {
  const std::lock_guard lock{mutex_};
  return durable_as_of_;
}

/// One try. What could not be written waits on, unless something newer came meanwhile.
void Keeper::write(std::unique_lock<std::mutex>& lock) {
  Kept kept = std::move(*waiting_);
  waiting_.reset();
  const std::uint64_t number = handed_;
  const Instant as_of = waiting_as_of_;
  writing_since_ = field::now();
  lock.unlock();
  const std::string trouble = parts_.save(kept).value_or("");
  lock.lock();
  writing_since_.reset();
  if (trouble.empty()) {
    durable_ = number;
    durable_as_of_ = as_of;
  }
  if (!trouble.empty() && !waiting_) waiting_ = std::move(kept);
  const bool is_news = trouble != trouble_;
  trouble_ = trouble;
  changed_.notify_all();
  lock.unlock();
  if (trouble.empty()) parts_.saved();
  if (is_news) parts_.tell(trouble);
  lock.lock();
}

void Keeper::run() {
  std::unique_lock lock{mutex_};
  while (true) {
    changed_.wait(lock, [this] { return waiting_ || stopping_; });
    if (!waiting_) return;
    const bool last = stopping_;
    write(lock);
    if (last) return;
    if (!trouble_.empty()) changed_.wait_for(lock, kRetry, [this] { return stopping_; });
  }
}

}  // namespace stillwell::service
