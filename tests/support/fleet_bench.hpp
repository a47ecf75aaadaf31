#pragma once
// A site's broker and a central one, joined by the files of config/fleet as they are shipped: two real
// mosquittos on 127.0.0.1, over TLS with certificates of an authority of our own.

#include <memory>
#include <string>
#include <vector>

#include "support/broker.hpp"
#include "support/certificates.hpp"

namespace support {

/// What the files offer behind a #: none of it, or all.
enum class Commands { none, let_in };

/// A broker with central.conf and central-access-list. Users are the common names of certificates.
class CentralBroker {
 public:
  /// `access`: lines that go to the end of the access list.
  explicit CentralBroker(Certificates& certificates, Commands commands = Commands::none,
                         const std::string& access = "");

  [[nodiscard]] Broker& broker() { return *broker_; }
  [[nodiscard]] int port() const { return port_; }  ///< with TLS

  /// The user `store`, whose session stays while he, or the broker, is away. One line a message: retain flag,
  /// topic, payload.
  [[nodiscard]] std::unique_ptr<Process> reader(const std::vector<std::string>& filters) const;
  /// Waits until the broker has written that session down.
  [[nodiscard]] bool remembers_reader() const;
  /// Runs a mosquitto_pub of a user to its end, as Broker::publish does.
  void publish(const std::string& user, const std::string& topic,
               const std::vector<std::string>& options) const;

 private:
  [[nodiscard]] std::vector<std::string> client(const std::string& program, const std::string& user) const;

  Certificates& certificates_;
  int port_;
  TemporaryDirectory directory_;
  std::unique_ptr<Broker> broker_;
};

/// A broker with site-bridge.conf. `certificates` is the folder of its files.
class SiteBroker {
 public:
  SiteBroker(const CentralBroker& centre, const std::string& certificates,
             Commands commands = Commands::none);

  [[nodiscard]] Broker& broker() { return *broker_; }
  [[nodiscard]] std::string log() const { return read_file(directory_.file("log")); }

 private:
  TemporaryDirectory directory_;
  std::unique_ptr<Broker> broker_;
};

}  // namespace support
