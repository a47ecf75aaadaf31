#include "stillwell/report/event_queue.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;

/// Cards wear. After a crash at most so much is sent again, which at least once allows.
constexpr auto kSaveEvery = 1s;

std::filesystem::path mark_in(const std::filesystem::path& directory) {
  return directory.empty() ? directory : directory / "events.sent";
}

}  // namespace

EventQueue::EventQueue(const EventSource& source, std::size_t most)
    : most_{most}, tail_{source.directory}, mark_{mark_in(source.directory)}, sent_{mark_.read()} {
  if (source.directory.empty()) return;
  // A number beyond the journal's is of another journal, or was never ours.
  sent_ = std::min(sent_.value_or(source.newest), source.newest);
  behind_ = *sent_ < source.newest;
  save();  // from where the very first start begins, though the broker may never be there in it
}

EventQueue::~EventQueue() {
  save();
}

void EventQueue::put(Dispatch letter) {
  const std::scoped_lock lock{mutex_};
  if (waiting_.size() >= most_) waiting_.pop_front();
  waiting_.push_back(std::move(letter));
}

bool EventQueue::is_empty() {
  const std::scoped_lock lock{mutex_};
  return !behind_ && waiting_.empty();
}

/// What was sent from the journal meanwhile is waited for no more.
std::optional<Dispatch> EventQueue::of_memory() {
  const std::scoped_lock lock{mutex_};
  while (!waiting_.empty() && sent_ && waiting_.front().seq <= *sent_)
    waiting_.pop_front();
  if (waiting_.empty()) return {};
  return waiting_.front();
}

std::optional<Dispatch> EventQueue::next() {
  if (chosen_) return chosen_;
  chosen_ = of_memory();
  if (!sent_ || (chosen_ && chosen_->seq == *sent_ + 1)) return chosen_;
  auto older = tail_.after(*sent_);
  behind_ = older.has_value();
  const bool is_of_journal = older && (!chosen_ || older->seq <= chosen_->seq);
  if (is_of_journal) chosen_ = std::move(older);
  if (!chosen_) return {};
  if (!is_of_journal || tail_.is_cut()) lost_ += chosen_->seq - *sent_ - 1;
  sent_ = chosen_->seq - 1;  // that is told once
  return chosen_;
}

void EventQueue::arrived(std::uint64_t seq) {
  if (!chosen_ || chosen_->seq != seq) return;
  chosen_.reset();
  sent_ = seq;
  of_memory();
  if (std::chrono::steady_clock::now() - saved_at_ > kSaveEvery) save();
}

void EventQueue::save() {
  if (!sent_ || saved_ == sent_) return;
  // Unwritten it is sent again, which is all that a full disk costs.
  if (mark_.write(*sent_)) saved_ = sent_;
  saved_at_ = std::chrono::steady_clock::now();
}

}  // namespace stillwell::report
