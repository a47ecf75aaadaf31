#pragma once
// A publisher of the calm orchard, and the last text for each cause that it told.

#include "stillwell/report/mqtt.hpp"

#include <map>
#include <mutex>
#include <string>
#include <utility>

#include "support/orchard_model.hpp"
#include "support/process.hpp"

namespace support {

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
