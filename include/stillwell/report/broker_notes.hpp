#pragma once
// What other threads leave for the worker that talks to the broker, and how it waits for them. Nobody who
// leaves something waits for longer than it takes to put it down.

#include "stillwell/report/homie.hpp"
#include "stillwell/report/hub_birth.hpp"

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <functional>
#include <mutex>
#include <optional>
#include <set>
#include <string>

namespace stillwell::report {

class BrokerNotes {
 public:
  using Clock = std::chrono::steady_clock;

  explicit BrokerNotes(std::uint64_t own) : hub_{own} {}

  // By others.
  void show(const View& view);           ///< a newer one replaces one that was not published yet
  void log(Message message);             ///< for who looks just now; of many at once the first few
  void clear(const std::string& topic);  ///< a retained command is there
  void hub_came();
  void twin_told();  ///< another gateway of this name
  void wake();       ///< there is news elsewhere
  void stop();

  // By the worker.
  std::optional<View> take_view();
  std::optional<Message> take_log();
  std::optional<std::string> take_retained();
  bool take_hub();  ///< it came, and its time to be told is now
  void hub_told();  ///< by an announcement: a hub that came just before has heard it
  bool take_twin();
  [[nodiscard]] bool is_stopping();
  /// Until there is something for it, or `elsewhere` says so, or the time is over. One that is not connected
  /// can make nothing of what is left here.
  void wait(Clock::duration time, bool connected, const std::function<bool()>& elsewhere);
  void sleep(Clock::duration time);  ///< or until the end

 private:
  template <class Change>
  void note(const Change& change);

  std::mutex mutex_;  // guards everything
  std::condition_variable changed_;
  std::optional<View> view_;
  std::deque<Message> logs_;
  std::set<std::string> retained_;
  HubBirth hub_;
  bool twin_ = false;
  bool stopping_ = false;
};

}  // namespace stillwell::report
