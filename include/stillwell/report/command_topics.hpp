#pragma once
// What may be commanded over the network, as one table: the word of broker.accept, the settable property, the
// form of its payload, and the command that comes of it. The descriptions of the devices, the subscriptions
// and the gate all read it. Nothing that the configuration does not accept has a topic.

#include "stillwell/config/configuration.hpp"
#include "stillwell/site/command.hpp"

#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

/// How a payload is written.
enum class PayloadForm : std::uint8_t {
  yes,           ///< "true"
  mode,          ///< a word of Mode
  alarm,         ///< an alarm's id, "header/low"
  alarm_or_all,  ///< the same, or "all"
  shelf,         ///< {"alarm":"header/low","for":"2 h","because":"cleaning"}
};

/// The datatype of the Homie convention 5.0 for a form.
std::string_view datatype_of(PayloadForm form);

struct CommandRow {
  config::Accept word{};
  CommandKind kind{};
  bool of_pump = false;     ///< a property of each pump; otherwise of the gateway
  std::string_view node{};  ///< "pump"
  std::string_view node_name{};
  std::string_view property{};  ///< "mode": also the verb in the journal
  std::string_view name{};      ///< for people
  PayloadForm form{};
};

std::span<const CommandRow> command_table();

struct CommandTopic {
  const CommandRow* row = nullptr;  ///< of the table, never null
  std::string device;               ///< "orchard-lift"
  std::string target;               ///< the pump, or all horns; empty: the payload names it
  std::string topic;                ///< "homie/5/orchard-lift/pump/mode/set"
};

std::vector<CommandTopic> command_topics(const Model& model, const std::set<config::Accept>& accepted);

}  // namespace stillwell::report
