#pragma once
// A private mosquitto on a free port of 127.0.0.1, with a configuration of its own, ended by its own pid.

#include <memory>
#include <string>
#include <vector>

#include "support/process.hpp"

namespace support {

class Broker {
 public:
  /// `lines` go to the end of its configuration file ("password_file …"). Anonymous clients are let in unless
  /// one of them says otherwise. Throws std::runtime_error with what the broker said when it does not start.
  explicit Broker(const std::vector<std::string>& lines = {});

  [[nodiscard]] int port() const { return port_; }
  [[nodiscard]] pid_t pid() const { return mosquitto_->pid(); }
  [[nodiscard]] TemporaryDirectory& directory() { return directory_; }

  void start();              ///< on the same port, without any memory of what was retained
  void stop();               ///< SIGTERM, as an orderly shutdown
  void kill();               ///< SIGKILL, as a power cut
  void freeze(bool frozen);  ///< SIGSTOP and SIGCONT: a peer that is there and says nothing

  /// A mosquitto_sub of a topic filter, one line a message, written as `format` says (see
  /// mosquitto_sub(1)), with %p in it. Its first line is that of the broker's version.
  [[nodiscard]] std::unique_ptr<Process> subscriber(const std::string& filter,
                                                    const std::string& format = "%t %r %p") const;
  /// Runs a mosquitto_pub to its end, MQTT 5 and QoS 1: `options` are its own ("-m", "off", "-r"), `input`
  /// what it reads ("-l": a message a line). Throws when it fails.
  void publish(const std::string& topic, const std::vector<std::string>& options,
               const std::string& input = "") const;
  /// The retained payload of one topic, as a fresh subscriber gets it; empty when there is none.
  [[nodiscard]] std::string retained(const std::string& topic) const;

 private:
  bool try_start();

  TemporaryDirectory directory_;
  std::vector<std::string> lines_;
  int port_ = 0;
  std::unique_ptr<Process> mosquitto_;
};

}  // namespace support
