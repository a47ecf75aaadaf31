#pragma once
// Events that wait for the broker: in order, bounded, and no loss without a count.

#include <cstdint>
#include <deque>
#include <optional>
#include <string>
#include <utility>

namespace stillwell::report {

class Outbox {
 public:
  struct Letter {
    std::uint64_t seq = 0;
    std::string line;
  };

  explicit Outbox(std::size_t limit) : limit_{limit} {}

  void put(Letter letter) {
    if (letters_.size() >= limit_) {
      letters_.pop_front();
      ++dropped_;
    }
    letters_.push_back(std::move(letter));
  }
  /// The oldest one, which stays until it is taken out.
  [[nodiscard]] std::optional<Letter> oldest() const {
    if (letters_.empty()) return {};
    return letters_.front();
  }
  /// It arrived. Meanwhile it may have been dropped: then nothing is taken out.
  void arrived(std::uint64_t seq) {
    if (!letters_.empty() && letters_.front().seq == seq) letters_.pop_front();
  }
  [[nodiscard]] bool empty() const { return letters_.empty(); }
  /// How many were dropped since the last call.
  std::uint64_t take_dropped() { return std::exchange(dropped_, 0); }

 private:
  std::size_t limit_;
  std::deque<Letter> letters_;
  std::uint64_t dropped_ = 0;
};

}  // namespace stillwell::report
