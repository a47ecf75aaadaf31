#include "stillwell/report/broker_notes.hpp"

#include <utility>

namespace stillwell::report {
namespace {

constexpr std::size_t kMostLogs = 20;

}  // namespace

template <class Change>
void BrokerNotes::note(const Change& change) {
  const std::scoped_lock lock{mutex_};
  change();
  changed_.notify_all();
}

void BrokerNotes::show(const View& view) {
  note([&] { view_ = view; });
}

void BrokerNotes::log(Message message) {
  note([&] {
    if (logs_.size() < kMostLogs) logs_.push_back(std::move(message));
  });
}

void BrokerNotes::clear(const std::string& topic) {
  note([&] { retained_.insert(topic); });
}

void BrokerNotes::hub_came() {
  note([this] { hub_.online(Clock::now()); });
}

void BrokerNotes::twin_told() {
  note([this] { twin_ = true; });
}

void BrokerNotes::wake() {
  note([] {});
}

void BrokerNotes::stop() {
  note([this] { stopping_ = true; });
}

std::optional<View> BrokerNotes::take_view() {
  const std::scoped_lock lock{mutex_};
  return std::exchange(view_, {});
}

std::optional<Message> BrokerNotes::take_log() {
  const std::scoped_lock lock{mutex_};
  if (logs_.empty()) return {};
  Message first = std::move(logs_.front());
  logs_.pop_front();
  return first;
}

std::optional<std::string> BrokerNotes::take_retained() {
  const std::scoped_lock lock{mutex_};
  if (retained_.empty()) return {};
  return std::move(retained_.extract(retained_.begin()).value());
}

bool BrokerNotes::take_hub() {
  const std::scoped_lock lock{mutex_};
  return hub_.take_due(Clock::now());
}

void BrokerNotes::hub_told() {
  const std::scoped_lock lock{mutex_};
  hub_.told(Clock::now());
}

bool BrokerNotes::take_twin() {
  const std::scoped_lock lock{mutex_};
  return std::exchange(twin_, false);
}

bool BrokerNotes::is_stopping() {
  const std::scoped_lock lock{mutex_};
  return stopping_;
}

void BrokerNotes::wait(Clock::duration time, bool connected, const std::function<bool()>& elsewhere) {
  std::unique_lock lock{mutex_};
  changed_.wait_for(lock, time, [&] {
    return stopping_ || elsewhere() || (connected && (view_ || !logs_.empty() || !retained_.empty()));
  });
}

void BrokerNotes::sleep(Clock::duration time) {
  std::unique_lock lock{mutex_};
  changed_.wait_for(lock, time, [this] { return stopping_; });
}

}  // namespace stillwell::report
