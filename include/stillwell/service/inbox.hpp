#pragma once
// Commands on their way into the scan and answers on their way back. Senders wait, the scan never does.

#include "stillwell/quantity/time.hpp"
#include "stillwell/service/bell.hpp"
#include "stillwell/site/command.hpp"

#include <condition_variable>
#include <cstdint>
#include <map>
#include <mutex>
#include <set>
#include <vector>

namespace stillwell::service {

class Inbox {
 public:
  /// The bell is rung when a command arrives, so that a person is answered at once also on a slow scan.
  explicit Inbox(Bell& bell) : bell_{bell} {}

  /// Hands a command to the next scan and waits for its answer; after `limit` the answer is a refusal that
  /// says that the rules did not get to it, and the command is withdrawn if it was still waiting.
  Answer ask(Command command, Duration limit);

  /// No more scans: whoever waits or comes is refused at once.
  void close();

  /// What came since the last scan.
  std::vector<Command> take();
  void answer(const std::vector<Answer>& answers);

 private:
  static constexpr std::size_t kMostWaiting = 64;  // a person sends one at a time; more is a runaway script

  Bell& bell_;
  std::mutex mutex_;
  std::condition_variable answered_;
  std::vector<Command> waiting_;
  std::map<std::uint64_t, Answer> answers_;  ///< only of senders that still wait
  std::set<std::uint64_t> senders_;
  std::uint64_t next_ = 1;
  bool closed_ = false;
};

}  // namespace stillwell::service
