#pragma once
// What the log and the journal hear of the connection to the broker. Used by one thread.

#include "stillwell/config/configuration.hpp"
#include "stillwell/report/outage.hpp"
#include "stillwell/site/event.hpp"

#include <chrono>
#include <cstdint>
#include <functional>
#include <optional>
#include <set>
#include <string>

namespace stillwell::report {

class BrokerStory {
 public:
  BrokerStory(std::string site, const config::Broker& broker, std::function<void(Event)> say);

  void away(const std::string& why);
  void untrusted(const std::string& why);      ///< over TLS one of us is not who the other expects
  void silent();                               ///< neither there nor not there; nothing when more is known
  void refused();                              ///< the broker is there and will not have us
  void misconfigured(const std::string& why);  ///< a file or variable of ours cannot be used
  void announced();                            ///< connected, and everything was published
  void look();                                 ///< now and then while away: a long outage must be told
  void dropped(std::uint64_t events);
  void twin();                            ///< somebody else tells as this site; told once an hour
  void leftover(const std::string& why);  ///< what was told before cannot all be deleted
  static constexpr const char* kPublish = "publish";
  static constexpr const char* kSubscribe = "subscribe to";
  static constexpr const char* kRead = "read";
  /// By the broker's access list; each act is logged once for each connection. A command that cannot be heard
  /// is an event, once: the announcement says that it may be given.
  void denied(const std::string& act, const std::string& topic);

 private:
  void trouble(const char* cause, const std::string& why);
  void say(std::string cause, std::string text);

  std::string site_;
  std::string broker_;  ///< "Broker broker.lan:8883: "
  std::string user_;
  std::function<void(Event)> say_;
  Outage outage_;
  std::string last_cause_;
  std::string last_text_;
  std::set<std::string> said_denied_;
  bool said_unheard_ = false;
  std::optional<std::chrono::steady_clock::time_point> said_twin_;
};

}  // namespace stillwell::report
