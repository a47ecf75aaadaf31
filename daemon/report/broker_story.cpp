#include "stillwell/report/broker_story.hpp"

#include <utility>

#include <spdlog/spdlog.h>

namespace stillwell::report {
namespace {

constexpr auto kTwinAgainAfter = std::chrono::hours{1};

}  // namespace

BrokerStory::BrokerStory(std::string site, const config::Broker& broker, std::function<void(Event)> say)
    : site_{std::move(site)},
      broker_{"Broker " + broker.host + ":" + std::to_string(broker.port) + ": "},
      user_{broker.user},
      say_{std::move(say)} {}

void BrokerStory::away(const std::string& why) {
  trouble("broker-away", why + ". It is tried again by itself.");
}
void BrokerStory::untrusted(const std::string& why) {
  trouble("broker-untrusted", why + ". It is tried again by itself.");
}
void BrokerStory::silent() {
  if (!outage_.is_well()) return;
  trouble("broker-silent",
          "nothing is heard of it, nor of the name server that knows its address. It is tried on.");
}
void BrokerStory::refused() {
  const std::string who = user_.empty() ? "us without a user name" : "the user `" + user_ + "`";
  trouble("broker-refused", "it refuses " + who +
                                ". Look at user and password_file; the file is read anew at each try, which "
                                "comes twice a minute.");
}
void BrokerStory::misconfigured(const std::string& why) {
  trouble("broker-misconfigured", why + ". It is looked at again twice a minute.");
}

void BrokerStory::trouble(const char* cause, const std::string& why) {
  const auto tell = outage_.trouble(cause, std::chrono::steady_clock::now());
  const std::string text = broker_ + why + " Pumps and alarms go on without it.";
  if (!tell.log) return;
  spdlog::warn("{}", text);
  last_cause_ = cause;
  last_text_ = text;
  if (tell.journal) say(cause, text);
}

void BrokerStory::look() {
  if (outage_.is_overdue(std::chrono::steady_clock::now())) say(last_cause_, last_text_);
}

void BrokerStory::announced() {
  said_denied_.clear();
  const auto tell = outage_.well(std::chrono::steady_clock::now());
  const std::string text = broker_ + "connected, and everything was announced.";
  if (tell.log) spdlog::info("{}", text);
  if (tell.journal) say("broker-connected", text);
}

void BrokerStory::dropped(std::uint64_t events) {
  const std::string text = broker_ + "it was away for long, and the oldest " + std::to_string(events) +
                           " of the waiting events are in no journal any more. They were not sent.";
  spdlog::warn("{}", text);
  say("events-lost", text);
}

void BrokerStory::twin() {
  const auto now = std::chrono::steady_clock::now();
  if (said_twin_ && now - *said_twin_ < kTwinAgainAfter) return;
  said_twin_ = now;
  const std::string text = broker_ + "another gateway tells there as `" + site_ +
                           "` too. Each writes over what the other tells, and a command reaches whichever is "
                           "there. Give each its own site.id, and a copied card a machine id of its own "
                           "(empty /etc/machine-id and start it anew).";
  spdlog::error("{}", text);
  say("site-twice", text);
}

void BrokerStory::leftover(const std::string& why) {
  const std::string text = broker_ + why + ".";
  spdlog::warn("{}", text);
  say("topics-left", text);
}

void BrokerStory::denied(const std::string& act, const std::string& topic) {
  if (!said_denied_.insert(act).second) return;
  const std::string text = broker_ + "it does not let us " + act + " " + topic + "; look at its access list";
  spdlog::error("{}", text);
  if (act == kSubscribe && !std::exchange(said_unheard_, true)) say("command-unheard", text + ".");
}

void BrokerStory::say(std::string cause, std::string text) {
  say_({EventKind::service, site_, std::move(cause), std::move(text), {}});
}

}  // namespace stillwell::report
