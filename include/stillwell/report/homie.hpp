#pragma once
// The site as messages of the Homie convention 5.0 (released 2025-05-11): what to publish, in which order.
// Pure: model and view in, messages out. The root device is the gateway, `orchard`; each tank and pump is a
// child, `orchard-header`.

#include "stillwell/report/command_topics.hpp"
#include "stillwell/report/homie_topics.hpp"
#include "stillwell/report/properties.hpp"

#include <map>
#include <set>
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

  /// Everything, in the order that the convention demands; after each connect. `gone`: topics of before that
  /// are deleted in their turn.
  std::vector<Message> announce(const View& view, const GatewayView& gateway,
                                const std::set<std::string>& gone = {});
  /// What has changed since the last call of either.
  std::vector<Message> update(const View& view, const GatewayView& gateway);
  /// All values once more, for who comes late and does not keep them.
  [[nodiscard]] std::vector<Message> values(const View& view, const GatewayView& gateway) const;
  /// Everything that is ever retained at the broker.
  [[nodiscard]] std::set<std::string> topics() const;
  /// Before a clean disconnect.
  [[nodiscard]] std::vector<Message> farewell() const;

  /// The last will: what the broker says of the root when we vanish.
  [[nodiscard]] Message will() const;

 private:
  struct Child {
    std::string device;       ///< "orchard-header"
    std::string description;  ///< JSON
  };

  /// Of the children. Lost is one of which nothing is heard.
  [[nodiscard]] std::vector<Message> states(const View& view) const;
  void append_changed(std::vector<Message>& messages, const std::vector<Message>& values);

  Model model_;
  std::vector<Child> children_;  ///< tanks, then pumps
  std::string description_;      ///< of the root
  std::map<std::string, std::string> published_;
};

/// The 53-bit hash that versions a description: the same devices always have the same one.
std::uint64_t description_version(std::string_view canonical);

}  // namespace stillwell::report
