#include "stillwell/report/event_queue.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

#include <fcntl.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;

constexpr std::size_t kDigits = 20;  // of the largest number; a fixed width is written over in place
/// Cards wear. After a crash at most so much is sent again, which at least once allows.
constexpr auto kSaveEvery = 1s;

std::optional<std::uint64_t> number_in(int file) {
  std::array<char, kDigits> digits{};
  if (file < 0 || ::pread(file, digits.data(), digits.size(), 0) != static_cast<ssize_t>(digits.size()))
    return {};
  std::uint64_t number = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
  if (error != std::errc{} || end != digits.data() + digits.size()) return {};
  return number;
}

int open_beside(const std::filesystem::path& directory) {
  if (directory.empty()) return -1;
  return ::open((directory / "events.sent").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0640);
}

}  // namespace

EventQueue::EventQueue(const EventSource& source, std::size_t most)
    : most_{most}, tail_{source.directory}, file_{open_beside(source.directory)}, sent_{number_in(file_)} {
  // A number beyond the journal's is of another journal, or was never ours.
  if (!source.directory.empty()) sent_ = std::min(sent_.value_or(source.newest), source.newest);
  behind_ = sent_ && *sent_ < source.newest;
}

EventQueue::~EventQueue() {
  save();
  if (file_ >= 0) ::close(file_);
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
  if (file_ < 0 || !sent_ || saved_ == *sent_) return;
  const std::string number = std::to_string(*sent_);
  const std::string digits = std::string(kDigits - number.size(), '0') + number;
  // Unwritten it is sent again, which is all that a full disk costs.
  if (::pwrite(file_, digits.data(), digits.size(), 0) == static_cast<ssize_t>(digits.size()))
    saved_ = *sent_;
  saved_at_ = std::chrono::steady_clock::now();
}

}  // namespace stillwell::report
