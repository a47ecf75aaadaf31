#pragma once
// Publishes the site and its events, with a thread of its own, and takes the commands that the configuration
// accepts. Whatever the broker, the network or the name
// service does, nobody else waits for it.

#include "stillwell/config/configuration.hpp"
#include "stillwell/report/command_door.hpp"
#include "stillwell/report/event_queue.hpp"
#include "stillwell/report/journal.hpp"
#include "stillwell/site/solve.hpp"

#include <functional>
#include <memory>
#include <string>

namespace stillwell::report {

class Mqtt {
 public:
  /// For the journal: what became of the connection.
  using Say = std::function<void(Event)>;

  Mqtt(const Model& model, const config::Broker& broker, std::string version, Say say, CommandWay way = {},
       const EventSource& events = {});
  ~Mqtt();  ///< sends what waits, publishes `disconnected`; a few seconds at most
  Mqtt(const Mqtt&) = delete;
  Mqtt& operator=(const Mqtt&) = delete;

  /// What to publish; a newer view replaces one that was not published yet. Never waits.
  void show(const View& view);
  /// An event for stillwell/<site>/events, in order. Never waits. Those that wait for the broker are found
  /// again in the journal; what that has no more is counted, and said.
  void send(const Entry& entry);

  [[nodiscard]] bool connected() const;

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stillwell::report
