#pragma once
// The site as messages of the Homie convention 5.0 (released 2025-05-11): what to publish, in which order.
// Pure: model and view in, messages out. The root device is the gateway, `orchard`; each tank and pump is a
// child, `orchard-header`.

#include "stillwell/report/command_topics.hpp"
#include "stillwell/report/properties.hpp"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

struct Message {
  std::string topic;
  std::string payload;  ///< empty and retained: deletes the topic
  bool retained = true;

  friend bool operator==(const Message&, const Message&) = default;
};

class Homie {
 public:
  /// `settable`: what may be commanded; announced as such, and nothing else is.
  explicit Homie(const Model& model, const std::vector<CommandTopic>& settable = {});

  /// Everything, in the order that the convention demands; after each connect.
  std::vector<Message> announce(const View& view, const GatewayView& gateway);
  /// What has changed since the last call of either.
  std::vector<Message> update(const View& view, const GatewayView& gateway);
  /// Before a clean disconnect.
  [[nodiscard]] std::vector<Message> farewell() const;

  /// The last will: what the broker says of the root when we vanish.
  [[nodiscard]] Message will() const;

 private:
  struct Child {
    std::string device;       ///< "orchard-header"
    std::string description;  ///< JSON
  };

  [[nodiscard]] std::vector<Message> values(const View& view, const GatewayView& gateway) const;
  /// The device that an alarm is an alert of.
  [[nodiscard]] const std::string& device_of(const Alarm& alarm) const;
  void append_changed(std::vector<Message>& messages, const std::vector<Message>& values);

  Model model_;
  std::vector<Child> children_;  ///< tanks, then pumps
  std::string description_;      ///< of the root
  std::map<std::string, std::string> published_;
};

/// "homie/5/orchard-lift/pump/mode" of a device and what follows it.
std::string homie_topic(std::string_view device, std::string_view rest);

/// The 53-bit hash that versions a description: the same devices always have the same one.
std::uint64_t description_version(std::string_view canonical);

}  // namespace stillwell::report
