#pragma once
// The property table: every value that is published, once. The description of a device and its values are
// both read from these rows (Homie convention 5.0) and cannot disagree.

#include "stillwell/site/solve.hpp"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

enum class Datatype : std::uint8_t { integer, floating, boolean, enumeration, string, moment };
std::string_view to_word(Datatype datatype);

/// How a hub is asked to show a value (report/discovery.hpp).
struct Presentation {
  std::string_view device_class{};  ///< of the hub's list; it must go with the unit
  std::string_view state_class{};   ///< "measurement", "total_increasing"; empty: no statistics are kept
  int decimals = -1;                ///< that are shown; -1: as it comes
  bool diagnostic = false;          ///< of the instruments, not of the water
  bool measured = false;            ///< worth nothing while its device is lost, or its level bad
};

/// One property of devices whose state is a Source.
template <class Source>
struct Property {
  std::string_view id;
  std::string_view name;
  Datatype datatype = Datatype::string;
  std::string_view unit;  ///< empty: none
  std::string format;     ///< enumeration: the words, by commas; numbers: "0:"; boolean: "off,on" for people
  /// As published; empty while there is none, so that the last one stays (nothing is invented).
  std::optional<std::string> (*value)(const Source&) = nullptr;
  bool passing = false;  ///< but this one does not stay: its topic is emptied, for a trend of before misleads
  Presentation presentation{};
};

/// A node: the properties of a kind of device, under one name.
template <class Source>
struct Node {
  std::string_view id;
  std::string_view name;
  std::span<const Property<Source>> properties;
};

struct GatewayView {
  std::string version;
  Duration uptime{};
  std::string instance;  ///< of this run and no other
};

/// Of a tank with gauges.
const Node<TankView>& water_node();
/// The same node of a tank that is kept by floats: what is not measured has no property.
const Node<TankView>& floats_node();
const Node<TankView>& node_of(const Tank& tank);
/// What a pump has: the node of every one, and parts of the same where its flow or what its motor takes is
/// known.
std::vector<const Node<PumpView>*> pump_nodes(const Model& model, const Pump& pump);
/// Of the gateway: all alarms together.
const Node<View>& alarms_node();
/// What the same node has beside, where a site has annunciators.
const Node<View>& horn_node();
const Node<GatewayView>& gateway_node();

/// The format of an alarm's own property, whose value is its state.
std::string alarm_words();

}  // namespace stillwell::report
