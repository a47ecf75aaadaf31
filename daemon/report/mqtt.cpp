#include "stillwell/report/mqtt.hpp"

#include "stillwell/report/broker_link.hpp"
#include "stillwell/report/broker_notes.hpp"
#include "stillwell/report/broker_story.hpp"
#include "stillwell/report/command_door.hpp"
#include "stillwell/report/command_topics.hpp"
#include "stillwell/report/discovery.hpp"
#include "stillwell/report/event_queue.hpp"
#include "stillwell/report/manifest.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <optional>
#include <random>
#include <set>
#include <sstream>
#include <thread>
#include <utility>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;
using Clock = std::chrono::steady_clock;
using GiveUp = BrokerLink::GiveUp;

constexpr std::size_t kEventsInMemory = 1000;
constexpr int kEventsATurn = 20;  // so that values are not held up by the events of a night
constexpr auto kTick = 1s;        // how often time itself is looked at, when nothing else happens
constexpr auto kPause = 1s;       // after a message that did not get through
constexpr auto kFlushWithin = 2s;
constexpr auto kFarewellWithin = 2s;

std::uint64_t any_number() {
  std::random_device device;
  return (std::uint64_t{device()} << 32U) | device();
}

std::string in_hex(std::uint64_t number) {
  std::ostringstream text;
  text << std::hex << number;
  return text.str();
}

GiveUp within(Clock::duration time) {
  return [until = Clock::now() + time] { return Clock::now() > until; };
}

}  // namespace

class Mqtt::Impl {
 public:
  Impl(const Model& model, config::Broker broker, std::string version, Say say, CommandWay way,
       const EventSource& events)
      : model_{model},
        broker_{std::move(broker)},
        version_{std::move(version)},
        topics_{command_topics(model, broker_.accept)},
        story_{model.id, broker_, say},
        homie_{model, topics_},
        manifest_{events.directory, model.id},
        queue_{events, kEventsInMemory},
        door_{model,
              topics_,
              {.way = {.ask = [this, ask = std::move(way.ask)](
                                  const Command& command) { return answer(ask, command); },
                       .wall = std::move(way.wall)},
               .say = [this, say = std::move(say)](Event event) { refuse(say, std::move(event)); },
               .clear = [this](const std::string& topic) { notes_.clear(topic); }}},
        link_{broker_,
              {.identity = {client_id_of(model.id), homie_.will()},
               .wake = [this] { notes_.wake(); },
               .arrived = [this](Incoming message) { arrived(std::move(message)); }},
              story_},
        thread_{[this] { run(); }} {}
  ~Impl() {
    notes_.stop();
    thread_.join();
  }
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;

  void show(const View& view) { notes_.show(view); }
  void send(const Entry& entry) {
    queue_.put({entry.seq, to_line(entry)});
    notes_.wake();
  }
  [[nodiscard]] bool connected() const { return link_.is_up(); }

 private:
  // --- the worker -------------------------------------------------------------------------------------

  void run() {
    if (broker_.discovery) documents_ = discovery_documents(model_, *broker_.discovery, topics_, version_);
    if (!manifest_.trouble().empty()) story_.leftover(manifest_.trouble());
    while (!notes_.is_stopping()) {
      link_.look(!view_);
      if (const auto dropped = queue_.take_lost(); dropped > 0) story_.dropped(dropped);
      if (notes_.take_twin()) story_.twin();
      story_.look();
      if (link_.is_up()) turn();
      notes_.wait(kTick, link_.is_up(), [this] { return link_.has_news() || has_events(); });
    }
    close();
  }

  void close() {
    if (link_.is_up()) {
      publish_view(within(kFlushWithin));  // how it ended: every pump stopped
      const auto late = within(kFlushWithin);
      while (!events_denied_ && !queue_.is_empty() && publish_events(late)) {
      }
      publish_all(homie_.farewell(), within(kFarewellWithin));
    }
    heard_ = false;
    link_.close();
  }

  /// Says what is new. What did not get through makes everything be said again.
  void turn() {
    const GiveUp give_up = [this] { return notes_.is_stopping() || !link_.is_up(); };
    announce_due_ |= link_.take_connected();
    if (publish_view(give_up) && clear_commands(give_up) && publish_logs(give_up) && greet_hub(give_up) &&
        publish_events(give_up))
      return;
    announce_due_ = true;
    notes_.sleep(kPause);
  }

  /// None before the first announcement, unless there is nothing to announce yet.
  bool has_events() { return link_.is_up() && (!view_ || heard_) && !events_denied_ && !queue_.is_empty(); }

  [[nodiscard]] GatewayView gateway() const { return {version_, Clock::now() - started_, instance_}; }

  bool publish_view(const GiveUp& give_up) {
    if (auto fresh = notes_.take_view()) view_ = std::move(fresh);
    if (!view_) return true;  // nothing was scanned yet: `init` would promise what nobody knows
    if (!announce_due_) return publish_all(homie_.update(*view_, gateway()), give_up);
    if (!announce(give_up)) return false;
    announce_due_ = false;
    return true;
  }

  /// The announcement ends with `ready`, which promises that every command is heard; one that the broker
  /// does not let us hear is told.
  bool announce(const GiveUp& give_up) {
    heard_ = false;
    if (!subscribe_all(give_up)) return false;
    Retained now = retained_now();
    const Retained gone = manifest_.gone(now);
    note_kept(manifest_.add(now));
    std::set<std::string> values_gone;
    for (const auto& [topic, parts] : gone)
      if (topic.starts_with(kHomieBase)) values_gone.insert(topic);
    if (!publish_and_note(homie_.announce(*view_, gateway(), values_gone), gone, now, give_up)) return false;
    heard_ = is_known_ = true;
    if (!publish_and_note(document_messages(documents_, gone), gone, now, give_up)) return false;
    notes_.hub_told();
    note_kept(manifest_.keep_only(now));
    events_denied_ = false;
    story_.announced();
    return true;
  }

  /// What the broker does not let us delete stays noted, and is tried again at the next connect.
  bool publish_and_note(const std::vector<Message>& messages, const Retained& gone, Retained& now,
                        const GiveUp& give_up) {
    for (const Message& message : messages) {
      const Delivery delivery = link_.send(message, give_up);
      if (delivery == Delivery::late || delivery == Delivery::down) return false;
      if (delivery == Delivery::acknowledged || !gone.contains(message.topic)) continue;
      now.emplace(message.topic, Parts{});
      if (!std::exchange(said_unkept_, true))
        story_.leftover("it does not let us delete " + message.topic +
                        ", which this site has no more; leave its line in the access list until it is gone");
    }
    return true;
  }

  [[nodiscard]] Retained retained_now() const {
    Retained now;
    for (const auto& topic : homie_.topics())
      now.emplace(topic, Parts{});
    for (const auto& document : documents_)
      now.emplace(document.topic, document.parts);
    return now;
  }
  void note_kept(const std::optional<Failure>& failure) {
    if (failure && !std::exchange(said_unkept_, true))
      story_.leftover("topics are not noted, " + failure->text);
  }

  bool subscribe_all(const GiveUp& give_up) {
    const bool hears_all = std::all_of(topics_.begin(), topics_.end(), [&](const CommandTopic& each) {
      return link_.subscribe(each.topic, BrokerStory::kSubscribe, give_up);
    });
    const auto reads = [&](const std::string& topic) {
      return link_.subscribe(topic, BrokerStory::kRead, give_up);
    };
    return hears_all && reads(instance_topic_) && (!broker_.discovery || reads(broker_.discovery->status));
  }

  bool publish_all(const std::vector<Message>& messages, const GiveUp& give_up) {
    return std::all_of(messages.begin(), messages.end(),
                       [&](const Message& message) { return link_.publish(message, give_up); });
  }

  bool publish_events(const GiveUp& give_up) {
    for (int sent = 0; sent < kEventsATurn && !events_denied_; ++sent) {
      const auto letter = queue_.next();
      if (!letter) return true;
      const Delivery delivery =
          link_.send({"stillwell/" + model_.id + "/events", letter->line, false}, give_up);
      if (delivery == Delivery::late || delivery == Delivery::down) return false;
      // They wait for an access list that lets them through, which is tried at the next connect.
      events_denied_ = delivery == Delivery::refused;
      if (!events_denied_) queue_.arrived(letter->seq);
    }
    return true;
  }

  bool publish_logs(const GiveUp& give_up) {
    while (const auto log = notes_.take_log())
      if (!link_.publish(*log, give_up)) return false;
    return true;
  }

  bool greet_hub(const GiveUp& give_up) {
    if (!notes_.take_hub() || !view_ || !heard_) return true;
    return publish_all(document_messages(documents_, {}), give_up) &&
           publish_all(homie_.values(*view_, gateway()), give_up);
  }

  /// Deletes retained commands at the broker: each once in a turn, since who retains them faster than they
  /// are deleted must not keep us from everything else.
  bool clear_commands(const GiveUp& give_up) {
    for (std::size_t left = topics_.size(); left > 0; --left) {
      const auto topic = notes_.take_retained();
      if (!topic) return true;
      if (link_.publish({*topic, "", true}, give_up)) continue;
      notes_.clear(*topic);
      return false;
    }
    return true;
  }

  // --- on threads of others ---------------------------------------------------------------------------

  void arrived(Incoming message) {
    if (broker_.discovery && message.topic == broker_.discovery->status) {
      if (message.payload == "online") notes_.hub_came();
    } else if (message.topic == instance_topic_) {
      // What was retained before our first announcement is of the run before this one. A broker that lost
      // what it had not saved may tell it once more.
      if (!is_known_) instance_before_ = message.payload;
      const bool is_own = message.payload == instance_ || message.payload == instance_before_;
      if (is_known_ && !message.payload.empty() && !is_own) notes_.twin_told();
    } else {
      message.early = !heard_;
      door_.put(std::move(message));
    }
  }

  /// What the gate or the rules refuse is also told to whoever follows the device's log just now.
  Answer answer(const std::function<Answer(Command)>& ask, const Command& command) {
    Answer answer = ask(command);
    if (answer.judged && !answer.done) log(command.target, answer.text);
    return answer;
  }
  void refuse(const Say& say, Event event) {
    log(event.of, event.text);
    say(std::move(event));
  }
  void log(std::string_view of, const std::string& text) {
    if (!link_.is_up()) return;  // it has no time of its own, and later would be taken for new
    notes_.log({homie_topic(device_of(model_, of), "$log/warn"), text, false});
  }

  const Model model_;
  const config::Broker broker_;
  const std::string version_;
  const Clock::time_point started_ = Clock::now();
  const std::uint64_t own_number_ = any_number();
  const std::string instance_ = in_hex(own_number_);
  std::string instance_before_;  ///< of the library's thread
  const std::string instance_topic_ = homie_topic(model_.id, "gateway/instance");
  const std::vector<CommandTopic> topics_;

  // the worker's own
  BrokerStory story_;
  Homie homie_;
  std::vector<Document> documents_;
  Manifest manifest_;
  std::optional<View> view_;
  bool announce_due_ = false;
  bool said_unkept_ = false;

  EventQueue queue_;
  bool events_denied_ = false;

  std::atomic<bool> heard_ = false;  ///< everything was announced: who sends a command now has seen `ready`
  std::atomic<bool> is_known_ = false;  ///< the same, once since the start
  BrokerNotes notes_{own_number_};

  CommandDoor door_;
  BrokerLink link_;  // its threads leave notes above
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
