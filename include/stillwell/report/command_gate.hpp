#pragma once
// The gate for commands that come over the network: a message and the time in, a command or a refusal out.
// What passes is still a request, which the rules may refuse. Pure; used by one thread.
//
// In this order: a known topic; not retained (a retained command would be repeated at every restart, with
// nobody asking); not empty; not too long; the exact form; an alarm that there is; not a repeat; not stale;
// not too frequent. Marks of MQTT 5 that a sender may add as user properties: `request-id` (at most 64 bytes,
// any it likes), by which a message that is sent twice is carried out once; `issued-at` (RFC 3339), by which
// one that was on its way for longer than 30 s, or comes from the future, is refused.

#include "stillwell/quantity/time.hpp"
#include "stillwell/report/command_topics.hpp"

#include <chrono>
#include <deque>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace stillwell::report {

/// A message as it came, before anybody believed any of it.
struct Incoming {
  using Time = std::chrono::steady_clock::time_point;
  /// No more of a payload is looked at than this: it is longer than any that passes.
  static constexpr std::size_t kMostBytes = 1024;
  static constexpr std::size_t kMostProperties = 8;

  std::string topic;
  std::string payload;
  bool retained = false;
  bool early = false;      ///< before everything was announced: nobody was told yet that we listen
  bool duplicate = false;  ///< DUP: it may have been sent before (MQTT 5.0, 3.3.1.1)
  std::vector<std::pair<std::string, std::string>> properties;  ///< of the user
  Time arrived{};
};

enum class Why : std::uint8_t {
  unknown_topic,
  retained,
  not_ready,
  empty,
  too_long,
  malformed,
  repeated,
  stale,
  too_frequent,
  overrun,     ///< so many at once that this one was not looked at
  unanswered,  ///< it passed the gate, and the rules never got to it
};

struct Refusal {
  Why why{};
  std::string topic;
  std::string of;    ///< the pump, the alarm; empty: the site
  std::string verb;  ///< "mode"; empty where the topic is unknown
  std::string text;  ///< a sentence's rest: "it is retained, …"
};

class CommandGate {
 public:
  using Time = Incoming::Time;
  /// A refusal, or nothing at all: somebody deleted a retained message, which is as it should be.
  using Judgement = std::variant<std::monostate, Command, Refusal>;

  /// `alarms`: the ids that a payload may name.
  CommandGate(std::vector<CommandTopic> topics, std::set<std::string> alarms)
      : topics_{std::move(topics)}, alarms_{std::move(alarms)} {}

  /// `wall`: empty while the clock is not trusted, and then issued-at says nothing.
  Judgement judge(const Incoming& message, Time now, std::optional<Stamp> wall);

 private:
  struct Passed {
    Time at{};
    std::string topic;
    std::string target;
  };
  struct Seen {
    std::string topic;
    std::string payload;
    std::string request;
  };

  [[nodiscard]] const CommandTopic* find(std::string_view topic) const;
  [[nodiscard]] std::optional<std::string> repeated(const Incoming& message,
                                                    const std::string& request) const;
  [[nodiscard]] std::optional<std::string> too_frequent(const std::string& topic, const Command& command,
                                                        Time now);
  void remember(const Incoming& message, const std::string& request, const std::string& target);

  std::vector<CommandTopic> topics_;
  std::set<std::string> alarms_;
  std::deque<Passed> passed_;  ///< within the last minute; at most one a second and topic
  std::deque<Seen> seen_;      ///< the last few that passed
};

/// "2026-03-01T04:12:07Z", "2026-03-01T05:12:07.25+01:00" (RFC 3339, 5.6). Empty when it is neither.
std::optional<Stamp> parse_rfc3339(std::string_view text);

}  // namespace stillwell::report
