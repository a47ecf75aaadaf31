#pragma once
// One connection to the broker: MQTT 5, with the last will, from the first attempt to the goodbye. It retries
// by itself; what must be said again after each connect is the owner's business. Used by one thread; the
// signals come from others.

#include "stillwell/config/configuration.hpp"
#include "stillwell/report/command_gate.hpp"
#include "stillwell/report/homie.hpp"

#include <functional>
#include <memory>
#include <string>

namespace stillwell::report {

/// What became of a message.
enum class Delivery : std::uint8_t {
  acknowledged,
  refused,  ///< the broker took it and said no (an access list): trying again would not help
  late,     ///< no answer in time
  down,     ///< there is no connection
};

/// Why a first attempt came to nothing.
enum class Hindrance : std::uint8_t {
  unreachable,
  tls,          ///< it is there, and not who it should be, or we are not for it
  credentials,  ///< it answered, and will not have us
};

/// Called on the library's threads: they only leave a note and return.
struct MqttSignals {
  std::function<void()> connected;  ///< the first time and after each loss
  std::function<void(const std::string& why)> lost;
  std::function<void(const std::string& why, Hindrance hindrance)> failed;
  std::function<void(Incoming)> arrived;  ///< on a topic that was subscribed to
};

struct MqttIdentity {
  std::string client_id;
  Message will;
};

/// "stillwell-orchard-5f3a91c2": the same on this machine for this site, always, and on no other machine.
std::string client_id_of(const std::string& site);

class MqttClient {
 public:
  /// Begins to connect and returns. Throws std::runtime_error with a sentence for the user when the
  /// configured files cannot be used, or when the one before still waits for a name server.
  MqttClient(const config::Broker& broker, const MqttIdentity& identity, MqttSignals signals);
  ~MqttClient();  ///< no signal comes after; a few seconds at most, whatever the library waits for
  MqttClient(const MqttClient&) = delete;
  MqttClient& operator=(const MqttClient&) = delete;

  /// Waits for the broker's answer, a few seconds at most, or until `give_up` says so. Never throws.
  Delivery publish(const Message& message, const std::function<bool()>& give_up);
  /// Likewise; refused: nothing will ever come on this topic. What is retained there comes too, and says so:
  /// it is refused and cleared, and not left for the next who listens. It holds until the connection is lost.
  Delivery subscribe(const std::string& topic, const std::function<bool()>& give_up);
  /// A clean goodbye, without the will. Bounded.
  void disconnect();

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stillwell::report
