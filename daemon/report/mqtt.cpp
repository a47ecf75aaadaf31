#include "stillwell/report/mqtt.hpp"

#include "stillwell/report/broker_story.hpp"
#include "stillwell/report/command_door.hpp"
#include "stillwell/report/command_topics.hpp"
#include "stillwell/report/event_queue.hpp"
#include "stillwell/report/mqtt_client.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <set>
#include <thread>
#include <utility>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;
using Clock = std::chrono::steady_clock;

constexpr std::size_t kEventsInMemory = 1000;
constexpr int kEventsATurn = 20;     // so that values are not held up by the events of a night
constexpr auto kTick = 1s;           // how often time itself is looked at, when nothing else happens
constexpr auto kPause = 1s;          // after a message that did not get through
constexpr auto kRetryRefused = 30s;  // a wrong password does not get right by asking every second
/// Four keep-alives without an acknowledgement: the connection is a corpse, whatever the library believes.
constexpr auto kSilence = 60s;
/// A client that has retried in vain for so long is replaced: a fresh one says why, and reads a changed
/// password file.
constexpr auto kRenewAfter = 120s;
constexpr auto kFlushWithin = 2s;
constexpr auto kFarewellWithin = 2s;

}  // namespace

class Mqtt::Impl {
 public:
  Impl(const Model& model, config::Broker broker, std::string version, Say say, CommandWay way,
       const EventSource& events)
      : site_{model.id},
        broker_{std::move(broker)},
        version_{std::move(version)},
        topics_{command_topics(model, broker_.accept)},
        story_{site_, broker_, say},
        homie_{model, topics_},
        queue_{events, kEventsInMemory},
        door_{model,
              topics_,
              {std::move(way), std::move(say), [this](const std::string& topic) { clear(topic); }}},
        thread_{[this] { run(); }} {}
  ~Impl() {
    {
      const std::scoped_lock lock{mutex_};
      stopping_ = true;
      wake_.notify_all();
    }
    thread_.join();
  }
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;

  void show(const View& view) {
    const std::scoped_lock lock{mutex_};
    fresh_ = view;
    wake_.notify_all();
  }
  void send(const Entry& entry) {
    queue_.put({entry.seq, to_line(entry)});
    note([] {});
  }
  [[nodiscard]] bool connected() const { return linked_; }

 private:
  // --- the worker -------------------------------------------------------------------------------------

  void run() {
    while (!is_stopping()) {
      if (!client_ && !open()) {
        sleep_for(kRetryRefused);
        continue;
      }
      wait_for_news();
      take_notes();
      story_.look();
      if (client_) turn();
    }
    close();
  }

  bool open() {
    waiting_since_ = answered_at_ = Clock::now();
    try {
      if (!broker_.unset_variable.empty()) {
        throw std::runtime_error{"the variable ${" + broker_.unset_variable + "} is not set"};
      }
      client_ = std::make_unique<MqttClient>(
          broker_, MqttIdentity{client_id_of(site_), homie_.will()},
          MqttSignals{[this] { note([this] { linked_ = announce_due_ = true; }); },
                      [this](const std::string& why) {
                        note([&] {
                          linked_ = heard_ = false;
                          trouble_ = "the connection was lost" + (why.empty() ? "" : ": " + why);
                        });
                      },
                      [this](const std::string& why, bool credentials) {
                        note([&] {
                          trouble_ = why;
                          refused_ = credentials;
                        });
                      },
                      [this](Incoming message) {
                        message.early = !heard_;
                        door_.put(std::move(message));
                      }});
      return true;
    } catch (const std::exception& problem) {
      story_.misconfigured(problem.what());
      return false;
    }
  }

  void close() {
    if (!client_) return;
    const auto within = [](Clock::time_point until) { return [until] { return Clock::now() > until; }; };
    if (linked_) {
      publish_view(within(Clock::now() + kFlushWithin));  // how it ended: every pump stopped
      const auto late = within(Clock::now() + kFlushWithin);
      while (!events_denied_ && !queue_.is_empty() && publish_events(late)) {
      }
      publish_all(homie_.farewell(), within(Clock::now() + kFarewellWithin));
      client_->disconnect();
    }
    linked_ = heard_ = false;
    client_.reset();
  }

  /// What the library's threads left for the worker.
  void take_notes() {
    std::unique_lock lock{mutex_};
    const auto trouble = std::exchange(trouble_, {});
    const bool refused = std::exchange(refused_, false);
    lock.unlock();
    const auto dropped = queue_.take_lost();
    if (trouble && !refused) story_.away(*trouble);
    if (dropped > 0) story_.dropped(dropped);
    if (refused) {
      story_.refused();
      client_.reset();
      sleep_for(kRetryRefused);
    }
  }

  /// One turn with a client: say what is new, or find out that it is no use any more.
  void turn() {
    const auto now = Clock::now();
    if (!linked_ || !view_) answered_at_ = now;  // nothing is asked, so nothing is answered
    if (!linked_) {
      if (now - waiting_since_ > kRenewAfter) client_.reset();
      return;
    }
    waiting_since_ = now;
    if (now - answered_at_ > kSilence) {
      story_.away("no acknowledgement for a minute");
      linked_ = heard_ = false;
      client_.reset();
      return;
    }
    const auto give_up = [this] { return is_stopping() || !linked_; };
    if (publish_view(give_up) && clear_commands(give_up) && publish_events(give_up)) return;
    note([this] { announce_due_ = true; });
    sleep_for(kPause);
  }

  template <class GiveUp>
  bool publish_view(const GiveUp& give_up) {
    bool announce = false;
    {
      const std::scoped_lock lock{mutex_};
      if (fresh_) view_ = std::exchange(fresh_, {});
      if (!view_) return true;  // nothing was scanned yet: `init` would promise what nobody knows
      announce = std::exchange(announce_due_, false);
    }
    const GatewayView gateway{version_, Clock::now() - started_};
    if (!announce) return publish_all(homie_.update(*view_, gateway), give_up);
    // The announcement ends with `ready`, which promises that every command is heard; one that the broker
    // does not let us hear is told.
    heard_ = false;
    if (!subscribe_all(give_up) || !publish_all(homie_.announce(*view_, gateway), give_up)) return false;
    heard_ = true;
    events_denied_ = false;
    story_.announced();
    return true;
  }

  template <class GiveUp>
  bool publish_all(const std::vector<Message>& messages, const GiveUp& give_up) {
    for (const auto& message : messages) {
      if (!publish(message, give_up)) return false;
    }
    return true;
  }

  template <class GiveUp>
  bool publish_events(const GiveUp& give_up) {
    for (int sent = 0; sent < kEventsATurn && !events_denied_; ++sent) {
      const auto letter = queue_.next();
      if (!letter) return true;
      const Message message{"stillwell/" + site_ + "/events", letter->line, false};
      const Delivery delivery = client_->publish(message, give_up);
      if (!is_answered(delivery, BrokerStory::kPublish, message.topic)) return false;
      // They wait for an access list that lets them through, which is tried at the next connect.
      events_denied_ = delivery == Delivery::refused;
      if (!events_denied_) queue_.arrived(letter->seq);
    }
    return true;
  }

  template <class GiveUp>
  bool subscribe_all(const GiveUp& give_up) {
    return std::all_of(topics_.begin(), topics_.end(), [&](const CommandTopic& each) {
      return is_answered(client_->subscribe(each.topic, give_up), BrokerStory::kSubscribe, each.topic);
    });
  }

  /// Deletes retained commands at the broker: each once in a turn, since who retains them faster than they
  /// are deleted must not keep us from everything else.
  template <class GiveUp>
  bool clear_commands(const GiveUp& give_up) {
    for (std::size_t left = topics_.size(); left > 0; --left) {
      std::unique_lock lock{mutex_};
      if (retained_.empty()) return true;
      const std::string topic = *retained_.begin();
      retained_.erase(topic);  // first: another one may come meanwhile
      lock.unlock();
      if (publish({topic, "", true}, give_up)) continue;
      clear(topic);
      return false;
    }
    return true;
  }
  void clear(const std::string& topic) {
    note([&] { retained_.insert(topic); });
  }

  template <class GiveUp>
  bool publish(const Message& message, const GiveUp& give_up) {
    return is_answered(client_->publish(message, give_up), BrokerStory::kPublish, message.topic);
  }

  bool is_answered(Delivery delivery, const char* act, const std::string& topic) {
    if (delivery == Delivery::late || delivery == Delivery::down) return false;
    if (delivery == Delivery::refused) story_.denied(act, topic);
    answered_at_ = Clock::now();
    return true;
  }

  // --- waiting ----------------------------------------------------------------------------------------

  template <class Change>
  void note(const Change& change) {
    const std::scoped_lock lock{mutex_};
    change();
    wake_.notify_all();
  }
  bool is_stopping() {
    const std::scoped_lock lock{mutex_};
    return stopping_;
  }
  void sleep_for(Clock::duration time) {
    std::unique_lock lock{mutex_};
    wake_.wait_for(lock, time, [this] { return stopping_; });
  }
  void wait_for_news() {
    std::unique_lock lock{mutex_};
    wake_.wait_for(lock, kTick, [this] {
      const bool announce = announce_due_ && view_;
      return stopping_ || trouble_ ||
             (linked_ && (announce || fresh_ || (heard_ && !events_denied_ && !queue_.is_empty()) ||
                          !retained_.empty()));
    });
  }

  const std::string site_;
  const config::Broker broker_;
  const std::string version_;
  const Clock::time_point started_ = Clock::now();
  const std::vector<CommandTopic> topics_;

  // the worker's own
  BrokerStory story_;
  Homie homie_;
  std::optional<View> view_;
  Clock::time_point answered_at_;
  Clock::time_point waiting_since_;

  EventQueue queue_;
  bool events_denied_ = false;

  std::atomic<bool> linked_ = false;
  std::atomic<bool> heard_ = false;  ///< everything was announced: who sends a command now has seen `ready`
  std::mutex mutex_;                 // guards what follows
  std::condition_variable wake_;
  std::optional<View> fresh_;
  bool announce_due_ = false;
  bool stopping_ = false;
  bool refused_ = false;
  std::optional<std::string> trouble_;
  std::set<std::string> retained_;  ///< topics of commands that must not stay at the broker

  CommandDoor door_;
  std::unique_ptr<MqttClient> client_;  // its threads leave notes above
  std::thread thread_;
};

Mqtt::Mqtt(const Model& model, const config::Broker& broker, std::string version, Say say, CommandWay way,
           const EventSource& events)
    : impl_{std::make_unique<Impl>(model, broker, std::move(version), std::move(say), std::move(way),
                                   events)} {}
Mqtt::~Mqtt() = default;
void Mqtt::show(const View& view) {
  impl_->show(view);
}
void Mqtt::send(const Entry& entry) {
  impl_->send(entry);
}
bool Mqtt::connected() const {
  return impl_->connected();
}

}  // namespace stillwell::report
