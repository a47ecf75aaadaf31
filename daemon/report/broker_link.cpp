#include "stillwell/report/broker_link.hpp"

#include <stdexcept>
#include <utility>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;

constexpr auto kRetryRefused = 30s;  // a wrong password does not get right by asking every second
/// Neither a connection nor a reason why there is none: a name server or a broker that does not answer.
constexpr auto kSayNothingHeard = 20s;
/// A client that has retried in vain for so long is replaced: a fresh one says why, and reads a changed
/// password file.
constexpr auto kRenewAfter = 120s;

}  // namespace

BrokerLink::BrokerLink(config::Broker broker, Parts parts, BrokerStory& story)
    : broker_{std::move(broker)}, parts_{std::move(parts)}, story_{story} {}

BrokerLink::~BrokerLink() = default;

template <class Change>
void BrokerLink::note(const Change& change) {
  {
    const std::scoped_lock lock{mutex_};
    change();
  }
  parts_.wake();
}

MqttSignals BrokerLink::signals() {
  return {
      .connected = [this] { note([this] { up_ = connected_ = true; }); },
      .lost =
          [this](const std::string& why) {
            note([&] {
              up_ = connected_ = false;
              news_ = {"the connection was lost" + (why.empty() ? "" : ": " + why), Hindrance::unreachable};
            });
          },
      .failed = [this](const std::string& why,
                       Hindrance hindrance) { note([&] {
                                                news_ = {why, hindrance};
                                              }); },
      .arrived = parts_.arrived};
}

bool BrokerLink::open() {
  waiting_since_ = answered_at_ = std::chrono::steady_clock::now();
  try {
    if (!broker_.unset_variable.empty()) {
      throw std::runtime_error{"the variable ${" + broker_.unset_variable + "} is not set"};
    }
    client_ = std::make_unique<MqttClient>(broker_, parts_.identity, signals());
    return true;
  } catch (const std::exception& problem) {
    story_.misconfigured(problem.what());
    return false;
  }
}

void BrokerLink::drop() {
  client_.reset();  // first: no note comes after it
  up_ = false;
  const std::scoped_lock lock{mutex_};
  connected_ = false;
}

void BrokerLink::tell(const News& news) {
  if (!news.trouble) return;
  switch (news.hindrance) {
    case Hindrance::credentials: return story_.refused();
    case Hindrance::tls: return story_.untrusted(*news.trouble);
    case Hindrance::unreachable: return story_.away(*news.trouble);
  }
}

void BrokerLink::look(bool idle) {
  const auto now = std::chrono::steady_clock::now();
  std::unique_lock lock{mutex_};
  const News news = std::exchange(news_, {});
  idle = idle || connected_;  // nothing was asked over this connection yet
  lock.unlock();
  tell(news);
  if (news.trouble && news.hindrance == Hindrance::credentials) {
    drop();
    retry_at_ = now + kRetryRefused;
  }
  if (!client_) {
    if (now >= retry_at_ && !open()) retry_at_ = now + kRetryRefused;
    return;
  }
  if (!up_) {
    answered_at_ = now;
    const auto waits = now - waiting_since_;
    if (waits > kSayNothingHeard && !news.trouble) story_.silent();
    if (waits > kRenewAfter) drop();
    return;
  }
  waiting_since_ = now;
  if (idle) answered_at_ = now;
  if (now - answered_at_ <= parts_.silence) return;
  story_.away("no acknowledgement for long");
  drop();
}

bool BrokerLink::has_news() {
  const std::scoped_lock lock{mutex_};
  return connected_ || news_.trouble;
}

bool BrokerLink::take_connected() {
  const std::scoped_lock lock{mutex_};
  if (connected_) answered_at_ = std::chrono::steady_clock::now();
  return std::exchange(connected_, false);
}

Delivery BrokerLink::send(const Message& message, const GiveUp& give_up) {
  if (give_up()) return Delivery::late;  // before each one: many quick answers take long, too
  const Delivery delivery = client_ ? client_->publish(message, give_up) : Delivery::down;
  is_answered(delivery, BrokerStory::kPublish, message.topic);
  return delivery;
}

bool BrokerLink::publish(const Message& message, const GiveUp& give_up) {
  const Delivery delivery = send(message, give_up);
  return delivery == Delivery::acknowledged || delivery == Delivery::refused;
}

bool BrokerLink::subscribe(const std::string& topic, const char* act, const GiveUp& give_up) {
  return client_ && !give_up() && is_answered(client_->subscribe(topic, give_up), act, topic);
}

bool BrokerLink::is_answered(Delivery delivery, const char* act, const std::string& topic) {
  if (delivery == Delivery::late || delivery == Delivery::down) return false;
  if (delivery == Delivery::refused) story_.denied(act, topic);
  answered_at_ = std::chrono::steady_clock::now();
  return true;
}

void BrokerLink::close() {
  if (client_ && up_) client_->disconnect();
  drop();
}

}  // namespace stillwell::report
