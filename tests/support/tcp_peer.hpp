#pragma once
// A gateway on 127.0.0.1 that answers as a script says: one connection at a time, real bytes, and every
// request is kept for the test to look at.

#include <functional>
#include <mutex>
#include <thread>
#include <vector>

#include "support/modbus_module.hpp"
#include "support/pty_peer.hpp"

namespace support {

class TcpPeer {
 public:
  /// What to send back to a request; a burst without bytes hangs up. Called on the peer's thread.
  using Script = std::function<std::vector<Burst>(const Bytes& request)>;

  /// Requests are of one size: 12 bytes for all Modbus functions used here. Throws when there is no port.
  explicit TcpPeer(Script script);
  ~TcpPeer();  ///< hangs up
  TcpPeer(const TcpPeer&) = delete;
  TcpPeer& operator=(const TcpPeer&) = delete;

  [[nodiscard]] int port() const { return port_; }
  [[nodiscard]] int connections() const;  ///< so far
  [[nodiscard]] std::vector<Bytes> requests() const;

  void follow(Script script);  ///< another script from now on
  void hang_up();              ///< on whoever is connected

 private:
  void serve();
  void admit();
  void hear();
  bool play(const std::vector<Burst>& bursts);
  void end_connection();
  [[nodiscard]] bool stopped() const;

  int listener_ = -1;
  int client_ = -1;
  int port_ = 0;
  Bytes held_;
  mutable std::mutex mutex_;
  Script script_;
  std::vector<Bytes> requests_;
  int connections_ = 0;
  bool drop_ = false;
  bool stop_ = false;
  std::thread thread_;
};

/// A reply with the head that Modbus TCP puts before it: the request's transaction, or `later` than it.
Bytes over_tcp(const Bytes& request, const Bytes& unit_and_pdu, int later = 0);

/// What a module says to a request that came over TCP.
std::vector<Burst> serve_over_tcp(ModbusModule& module, const Bytes& request);

}  // namespace support
