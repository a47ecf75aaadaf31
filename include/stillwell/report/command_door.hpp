#pragma once
// Where commands from the network wait, bounded, for a thread that has the gate judge them and asks the
// rules. Whoever puts one in never waits, whatever becomes of it.

#include "stillwell/report/command_gate.hpp"
#include "stillwell/report/refusal_story.hpp"

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace stillwell::report {

/// Where commands go that passed the gate.
struct CommandWay {
  std::function<Answer(Command)> ask;               ///< may wait for a scan
  std::function<std::optional<Stamp>()> wall = {};  ///< the time while it can be trusted
};

class CommandDoor {
 public:
  /// More at once are refused unseen, and counted.
  static constexpr std::size_t kWaiting = 64;

  struct Parts {
    CommandWay way;
    std::function<void(Event)> say;
    std::function<void(const std::string& topic)> clear;  ///< a retained command is there; must not wait
  };

  CommandDoor(const Model& model, const std::vector<CommandTopic>& topics, Parts parts);
  ~CommandDoor();  ///< waits for the answer to the command in hand; those that wait are forgotten
  CommandDoor(const CommandDoor&) = delete;
  CommandDoor& operator=(const CommandDoor&) = delete;

  void put(Incoming message);

 private:
  void run();
  void serve(const Incoming& message);
  void carry(const Command& command, const Incoming& message);
  void refuse(const Refusal& refusal, std::size_t times = 1);
  void say_all(std::vector<Event> events);

  const Parts parts_;
  CommandGate gate_;    // the thread's own
  RefusalStory story_;  // likewise
  std::mutex mutex_;    // guards what follows
  std::condition_variable changed_;
  std::deque<Incoming> waiting_;
  std::size_t overrun_ = 0;
  std::string overrun_topic_;
  bool stopping_ = false;
  std::thread thread_;  // last: it uses everything above
};

}  // namespace stillwell::report
