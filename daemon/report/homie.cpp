#include "stillwell/report/homie.hpp"

#include "stillwell/report/alert_text.hpp"
#include "stillwell/site/words.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

template <class Source>
Json describe(const Node<Source>& node) {
  Json properties = Json::object();
  for (const auto& row : node.properties) {
    Json property = {{"name", row.name}, {"datatype", to_word(row.datatype)}};
    if (!row.format.empty()) property["format"] = row.format;
    if (!row.unit.empty()) property["unit"] = row.unit;
    properties[std::string{row.id}] = std::move(property);
  }
  return {{"name", node.name}, {"properties", std::move(properties)}};
}

/// A property that is only set, and holds nothing.
Json momentary(const CommandRow& row) {
  return {{"name", row.name}, {"datatype", datatype_of(row.form)}, {"retained", false}};
}

/// What may be set of a device, beside what it tells.
void add_settable(Json& nodes, std::string_view device, const std::vector<CommandTopic>& settable) {
  for (const auto& topic : settable) {
    if (topic.device != device) continue;
    const CommandRow& row = *topic.row;
    Json& node = nodes[std::string{row.node}];
    if (node.is_null()) node = {{"name", row.node_name}, {"properties", Json::object()}};
    Json& property = node["properties"][std::string{row.property}];
    if (property.is_null()) property = momentary(row);
    property["settable"] = true;
  }
}

/// The nodes of a device.
template <class... Sources>
Json describe_all(const Node<Sources>&... nodes) {
  Json all = Json::object();
  ((all[std::string{nodes.id}] = describe(nodes)), ...);
  return all;
}

Json pump_description(const Model& model, const Pump& pump) {
  Json nodes = Json::object();
  for (const auto* part : pump_nodes(model, pump)) {
    Json described = describe(*part);
    Json& node = nodes[std::string{part->id}];
    if (node.is_null())
      node = std::move(described);
    else
      node["properties"].update(described["properties"]);
  }
  return nodes;
}

Json gateway_nodes(const Model& model) {
  Json nodes = describe_all(gateway_node(), alarms_node());
  if (!model.annunciators.empty())
    nodes[std::string{horn_node().id}]["properties"].update(describe(horn_node())["properties"]);
  return nodes;
}

/// A device's description. `rest` holds what a root (`children`) or a child (`root`) says of the other.
std::string describe_device(std::string_view name, Json nodes, const Json& rest) {
  Json device = {{"homie", "5.0"}, {"name", name}};
  device.update(rest);
  device["nodes"] = std::move(nodes);
  const auto print = [&device] { return device.dump(-1, ' ', false, Json::error_handler_t::replace); };
  device["version"] = description_version(print());
  return print();
}

template <class Source>
void append_values(std::vector<Message>& messages, std::string_view device, const Node<Source>& node,
                   const Source& source) {
  for (const auto& row : node.properties) {
    const auto value = row.value(source);
    if (!value && !row.passing) continue;
    const auto place = homie_topic(device, node.id, row.id);
    messages.push_back({place, value.value_or(""), true});
  }
}

/// An alarm is a property of its own, which holds its state, beside the alert that is text for people.
void add_alarms(Json& nodes, const Model& model, std::string_view device) {
  for (const Alarm& alarm : model.alarms) {
    if (device_of(model, alarm) != device) continue;
    Json& node = nodes[std::string{kAlarmNode}];
    if (node.is_null()) node = {{"name", "Its alarms"}, {"properties", Json::object()}};
    node["properties"][alarm_property(model, alarm)] = {{"name", std::string{to_word(alarm.kind)} + " alarm"},
                                                        {"datatype", to_word(Datatype::enumeration)},
                                                        {"format", alarm_words()}};
  }
}

bool is_lost(const TankView& tank) {
  return tank.level.quality == Quality::bad &&
         (tank.level.reason == Reason::no_answer || tank.level.reason == Reason::stale);
}

bool is_lost(const PumpView& pump) {
  return std::ranges::find(pump.held_by, Cause::contact_unreachable) != pump.held_by.end();
}

Message state_of(std::string_view device, std::string_view state) {
  return {homie_topic(device, "$state"), std::string{state}, true};
}

bool is_of(std::string_view topic, std::string_view device) {
  return topic.starts_with(homie_topic(device, ""));
}

}  // namespace

std::uint64_t description_version(std::string_view canonical) {
  // FNV-1a, 64 bits (draft-eastlake-fnv), folded to the 53 bits that every JSON reader keeps exactly.
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : canonical)
    hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  constexpr int kBits = 53;
  return (hash >> kBits) ^ (hash & ((1ULL << kBits) - 1));
}

Homie::Homie(const Model& model, const std::vector<CommandTopic>& settable) : model_{model} {
  const auto describe_with = [&](const std::string& device, const std::string& name, Json nodes,
                                 const Json& rest) {
    add_alarms(nodes, model, device);
    add_settable(nodes, device, settable);
    return describe_device(name, std::move(nodes), rest);
  };
  const auto add_child = [&](const std::string& device, const std::string& name, Json nodes) {
    children_.push_back({device, describe_with(device, name, std::move(nodes), {{"root", model.id}})});
  };
  for (const auto& tank : model.tanks)
    add_child(device_of(model, tank), name_of(tank.name, tank.id), describe_all(node_of(tank)));
  for (const auto& pump : model.pumps)
    add_child(device_of(model, pump), name_of(pump.name, pump.id), pump_description(model, pump));

  Json ids = Json::array();
  for (const auto& child : children_)
    ids.push_back(child.device);
  description_ = describe_with(model.id, name_of(model.name, model.id), gateway_nodes(model),
                               {{"children", std::move(ids)}});
}

std::vector<Message> Homie::values(const View& view, const GatewayView& gateway) const {
  std::vector<Message> messages;
  for (std::size_t i = 0; i < model_.tanks.size() && i < view.tanks.size(); ++i) {
    append_values(messages, children_[i].device, node_of(model_.tanks[i]), view.tanks[i]);
  }
  for (std::size_t i = 0; i < model_.alarms.size() && i < view.alarms.size(); ++i) {
    const auto& alarm = model_.alarms[i];
    const auto place = [&](std::string_view node) {
      return homie_topic(device_of(model_, alarm), node, alarm_property(model_, alarm));
    };
    messages.push_back({place(kAlarmNode), std::string{to_word(view.alarms[i].state)}, true});
    messages.push_back({place("$alert"), alert_text(model_, view, i), true});
  }
  for (std::size_t i = 0; i < model_.pumps.size() && i < view.pumps.size(); ++i) {
    for (const auto* part : pump_nodes(model_, model_.pumps[i]))
      append_values(messages, children_[model_.tanks.size() + i].device, *part, view.pumps[i]);
  }
  append_values(messages, model_.id, gateway_node(), gateway);
  append_values(messages, model_.id, alarms_node(), view);
  if (!model_.annunciators.empty()) append_values(messages, model_.id, horn_node(), view);
  return messages;
}

std::vector<Message> Homie::states(const View& view) const {
  std::vector<Message> messages;
  const auto add = [&](std::size_t child, bool lost) {
    messages.push_back(state_of(children_[child].device, lost ? "lost" : "ready"));
  };
  for (std::size_t i = 0; i < model_.tanks.size(); ++i)
    add(i, i < view.tanks.size() && is_lost(view.tanks[i]));
  for (std::size_t i = 0; i < model_.pumps.size(); ++i)
    add(model_.tanks.size() + i, i < view.pumps.size() && is_lost(view.pumps[i]));
  return messages;
}

std::set<std::string> Homie::topics() const {
  std::set<std::string> all;
  const auto add = [&](const std::string& device, const std::string& description) {
    all.insert({homie_topic(device, "$state"), homie_topic(device, "$description")});
    const Json nodes = Json::parse(description)["nodes"];
    for (const auto& [node, body] : nodes.items())
      for (const auto& [property, what] : body["properties"].items())
        if (what.value("retained", true)) all.insert(homie_topic(device, node, property));
  };
  for (const auto& child : children_)
    add(child.device, child.description);
  add(model_.id, description_);
  for (const auto& alarm : model_.alarms)
    all.insert(homie_topic(device_of(model_, alarm), "$alert/" + alarm_property(model_, alarm)));
  return all;
}

void Homie::append_changed(std::vector<Message>& messages, const std::vector<Message>& values) {
  for (const auto& value : values) {
    const auto [known, fresh] = published_.try_emplace(value.topic, value.payload);
    if (!fresh && known->second == value.payload) continue;
    known->second = value.payload;
    messages.push_back(value);
  }
}

std::vector<Message> Homie::announce(const View& view, const GatewayView& gateway,
                                     const std::set<std::string>& gone) {
  published_.clear();
  std::vector<Message> all;
  append_changed(all, values(view, gateway));

  // What a device has no more goes while it is `init`, before its new description ("Device life cycle").
  std::vector<Message> messages{state_of(model_.id, "init")};
  std::set<std::string> rest = gone;
  const auto append_device = [&](const std::string& device, const std::string& description) {
    std::erase_if(rest, [&](const std::string& topic) {
      if (is_of(topic, device)) messages.push_back({topic, "", true});
      return is_of(topic, device);
    });
    messages.push_back({homie_topic(device, "$description"), description, true});
    for (const auto& message : all) {
      if (is_of(message.topic, device)) messages.push_back(message);
    }
  };
  for (const auto& child : children_) {
    messages.push_back(state_of(child.device, "init"));
    append_device(child.device, child.description);
  }
  append_device(model_.id, description_);
  append_changed(messages, states(view));
  messages.push_back(state_of(model_.id, "ready"));
  // A device that is gone loses its state first: without it nobody looks at the rest any more.
  for (const bool of_state : {true, false})
    for (const auto& topic : rest)
      if (topic.ends_with("/$state") == of_state) messages.push_back({topic, "", true});
  return messages;
}

std::vector<Message> Homie::update(const View& view, const GatewayView& gateway) {
  std::vector<Message> messages;
  append_changed(messages, values(view, gateway));
  append_changed(messages, states(view));
  return messages;
}

std::vector<Message> Homie::farewell() const {
  std::vector<Message> messages;
  for (const auto& child : children_)
    messages.push_back(state_of(child.device, "disconnected"));
  messages.push_back(state_of(model_.id, "disconnected"));
  return messages;
}

Message Homie::will() const {
  return state_of(model_.id, "lost");
}

}  // namespace stillwell::report
