#pragma once
// Which events the owner's program is told, in which order and how often. Pure.
//
// A bucket of `at_most` tokens: a call takes one, and it comes back an hour later. So there are never more
// calls than that in any hour, however they fall; a second try of the same call takes none. What finds the
// bucket empty is held back and counted; the count is told with the next call, or by a call of its own when
// none comes within the hour.

#include "stillwell/config/configuration.hpp"
#include "stillwell/report/journal.hpp"

#include <chrono>
#include <cstdint>
#include <deque>
#include <optional>
#include <string>
#include <utility>

namespace stillwell::report {

class NotifyRule {
 public:
  using Time = std::chrono::steady_clock::time_point;
  static constexpr std::size_t kWaiting = 64;
  static constexpr auto kHour = std::chrono::hours{1};

  NotifyRule(std::string site, const config::Notify& notify) : site_{std::move(site)}, notify_{notify} {}

  /// An event from the journal. One that does not concern the program is let go; one for which there is no
  /// more room is held back.
  void put(const Entry& entry, Time now);

  /// What the program is to be given now, as lines with their ends; empty when there is nothing to do. Each
  /// is answered by ended() before the next one is asked for.
  std::optional<std::string> next(Time now);
  /// When next() has something although nothing was put meanwhile.
  [[nodiscard]] std::optional<Time> due() const;

  enum class News : std::uint8_t { none, trying_again, failing, well_again };
  /// How the call went. A first failure is tried again after `again_after`; after the second what it should
  /// have told counts as held back.
  News ended(bool well, Time now);

  /// Calls that are not over or did not even begin.
  [[nodiscard]] std::size_t waiting() const { return waiting_.size() + (call_ ? 1 : 0); }
  /// How many found no more room since the last call.
  std::uint64_t take_crowded_out() { return std::exchange(crowded_out_, 0); }

 private:
  struct Call {
    std::string input;
    std::uint64_t events = 0;
    Stamp at{};                   ///< of the newest one
    std::optional<Time> again{};  ///< it failed once, and is to be tried then
  };
  struct HeldBack {
    std::uint64_t count = 0;
    Stamp at{};    ///< of the newest one
    Time since{};  ///< when the first was held back
  };

  [[nodiscard]] bool wants(Priority priority) const;
  [[nodiscard]] bool concerns(const Event& event) const;
  bool take_token(Time now);
  void hold_back(std::uint64_t events, Stamp at, Time now);
  void add_count(Call& call);

  const std::string site_;
  const config::Notify notify_;
  std::deque<Entry> waiting_;
  std::deque<Time> taken_;  ///< when each token was taken that is not back yet
  std::optional<Call> call_;
  HeldBack held_;
  std::uint64_t crowded_out_ = 0;
  bool failing_ = false;
};

}  // namespace stillwell::report
