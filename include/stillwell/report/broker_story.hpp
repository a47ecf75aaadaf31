#pragma once
// What the log and the journal hear of the connection to the broker. Used by one thread.

#include "stillwell/config/configuration.hpp"
#include "stillwell/report/outage.hpp"
#include "stillwell/site/event.hpp"

#include <cstdint>
#include <functional>
#include <set>
#include <string>

namespace stillwell::report {

class BrokerStory {
 public:
  BrokerStory(std::string site, const config::Broker& broker, std::function<void(Event)> say);

  void away(const std::string& why);
  void refused();                              ///< the broker is there and will not have us
  void misconfigured(const std::string& why);  ///< a file or variable of ours cannot be used
  void announced();                            ///< connected, and everything was published
  void look();                                 ///< now and then while away: a long outage must be told
  void dropped(std::uint64_t events);
  /// By the broker's access list: to "publish" or to "subscribe to" a topic; each once for each connection.
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
};

}  // namespace stillwell::report
