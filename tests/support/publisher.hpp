#pragma once
// A publisher of the calm orchard, the last text for each cause that it told, and a way to a broker over TLS.

#include "stillwell/report/mqtt.hpp"

#include <map>
#include <mutex>
#include <string>
#include <utility>

#include "support/certificates.hpp"
#include "support/orchard_model.hpp"
#include "support/process.hpp"

namespace support {

/// A broker on this machine whose certificate is one of these for localhost.
inline stillwell::config::Broker over_tls(const Certificates& certificates, int port) {
  stillwell::config::Broker broker;
  broker.host = "localhost";
  broker.port = port;
  broker.tls = true;
  broker.ca = certificates.file("ca");
  return broker;
}

class Publisher {
 public:
  explicit Publisher(const stillwell::config::Broker& broker, stillwell::report::CommandWay way = {},
                     const stillwell::report::EventSource& events = {})
      : mqtt_{model_,
              broker,
              "0.1.0",
              [this](const stillwell::Event& event) {
                const std::scoped_lock lock{mutex_};
                told_[event.cause] = event.text;
              },
              std::move(way),
              events} {
    mqtt_.show(calm_view(model_));
  }
  stillwell::report::Mqtt& mqtt() { return mqtt_; }
  const stillwell::Model& model() { return model_; }
  std::string told(const std::string& cause) {
    const std::scoped_lock lock{mutex_};
    return told_[cause];
  }
  bool will_tell(const std::string& cause) {
    return eventually([&] { return !told(cause).empty(); });
  }

 private:
  stillwell::Model model_ = orchard_model();
  std::mutex mutex_;
  std::map<std::string, std::string> told_;
  stillwell::report::Mqtt mqtt_;
};

}  // namespace support
