#pragma once
// The connection to the broker as its worker sees it: a client that is opened, watched, and replaced once it
// is of no use any more. What becomes of it is told by the story. Used by one thread, but for is_up().

#include "stillwell/report/broker_story.hpp"
#include "stillwell/report/mqtt_client.hpp"

#include <atomic>
#include <chrono>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

namespace stillwell::report {

class BrokerLink {
 public:
  using GiveUp = std::function<bool()>;

  struct Parts {
    MqttIdentity identity;
    std::function<void()> wake;             ///< there is news; called on the library's threads
    std::function<void(Incoming)> arrived;  ///< likewise; must not wait
    /// Four keep-alives without an acknowledgement: the connection is a corpse, whatever the library
    /// believes.
    std::chrono::steady_clock::duration silence = std::chrono::seconds{60};
  };

  /// The story outlives it.
  BrokerLink(config::Broker broker, Parts parts, BrokerStory& story);
  ~BrokerLink();
  BrokerLink(const BrokerLink&) = delete;
  BrokerLink& operator=(const BrokerLink&) = delete;

  /// Does what is due: opens a client, tells of trouble, replaces a client that is of no use. `idle`: nothing
  /// is said to the broker, so that no answer is missed.
  void look(bool idle);
  [[nodiscard]] bool has_news();
  [[nodiscard]] bool is_up() const { return up_; }
  /// True once after each connect: everything must be said again.
  bool take_connected();

  /// False: it did not get through, and the connection is not what it was. What the broker denies is told.
  bool publish(const Message& message, const GiveUp& give_up);
  /// Likewise. `act`: for the story, what we wanted to do.
  bool subscribe(const std::string& topic, const char* act, const GiveUp& give_up);
  /// The same for one whose denial matters to the caller.
  Delivery send(const Message& message, const GiveUp& give_up);

  /// A clean goodbye; nothing is opened any more.
  void close();

 private:
  struct News {
    std::optional<std::string> trouble;
    Hindrance hindrance = Hindrance::unreachable;
  };

  bool open();
  void drop();
  void tell(const News& news);
  MqttSignals signals();
  template <class Change>
  void note(const Change& change);
  bool is_answered(Delivery delivery, const char* act, const std::string& topic);

  const config::Broker broker_;
  const Parts parts_;
  BrokerStory& story_;
  std::chrono::steady_clock::time_point answered_at_{};
  std::chrono::steady_clock::time_point waiting_since_{};
  std::chrono::steady_clock::time_point retry_at_{};

  std::atomic<bool> up_ = false;
  std::mutex mutex_;  // guards what follows
  News news_;
  bool connected_ = false;

  std::unique_ptr<MqttClient> client_;  // last: its threads leave notes above
};

}  // namespace stillwell::report
