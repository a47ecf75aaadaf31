#pragma once
// A broker that does what no real one does on demand: it speaks real bytes over a real socket as the test
// says.

#include <atomic>
#include <functional>
#include <optional>
#include <string>
#include <thread>

namespace support {

class ScriptedBroker {
 public:
  /// The bytes that answer a packet, whose first byte is followed by the body, without the length.
  using Script = std::function<std::string(const std::string& packet)>;
  /// Lets everybody in, grants every subscription, and acknowledges what is published.
  static std::string honest(const std::string& packet);

  /// Takes one client after the other. Throws when there is no port.
  explicit ScriptedBroker(Script script = honest);
  ~ScriptedBroker();
  ScriptedBroker(const ScriptedBroker&) = delete;
  ScriptedBroker& operator=(const ScriptedBroker&) = delete;

  [[nodiscard]] int port() const { return port_; }
  [[nodiscard]] int clients() const { return clients_; }  ///< so far
  /// To the client of now, unasked. False when it does not take it.
  bool send(const std::string& bytes) const;

  /// A PUBLISH with QoS 1, without properties; topic and payload together of fewer than 120 bytes.
  static std::string message(const std::string& topic, const std::string& payload, char id,
                             bool duplicate = false);

 private:
  void serve();
  [[nodiscard]] std::optional<std::string> read_bytes(std::size_t count) const;
  [[nodiscard]] std::optional<std::string> read_packet() const;

  Script script_;
  int listener_;
  std::atomic<int> client_ = -1;
  std::atomic<int> clients_ = 0;
  std::atomic<bool> stopping_ = false;
  int port_ = 0;
  std::thread thread_;
};

}  // namespace support
