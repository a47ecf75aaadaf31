#pragma once
// One serial line of the orchard: its port, who answers on it, and the thread that serves both.

#include "stillwell/orchard/attendant.hpp"
#include "stillwell/orchard/pty_port.hpp"

#include <atomic>
#include <memory>
#include <string>
#include <thread>

namespace stillwell::orchard {

class LineServer {
 public:
  /// Plugs the port in and starts serving. Throws std::runtime_error with a sentence for the user.
  LineServer(Yard& yard, LineIndex line, const config::Wiring& wiring);
  ~LineServer();  ///< stops the thread and removes the port
  LineServer(const LineServer&) = delete;
  LineServer& operator=(const LineServer&) = delete;

 private:
  void serve();
  void turn();
  bool follow_the_plug();
  [[nodiscard]] Duration time_to_listen() const;

  Yard& yard_;
  plant::Target line_;
  Duration character_;
  std::unique_ptr<Attendant> attendant_;
  PtyPort port_;
  Moment heard_at_;
  std::atomic<bool> stop_{false};
  std::thread thread_;
};

}  // namespace stillwell::orchard
