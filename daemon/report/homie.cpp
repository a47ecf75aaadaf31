#include "stillwell/report/homie.hpp"

#include "stillwell/report/alert_text.hpp"

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view kBase = "homie/5/";  // domain and major version of the convention

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
    const auto place = homie_topic(device, std::string{node.id}.append("/").append(row.id));
    messages.push_back({place, value.value_or(""), true});
  }
}

const std::string& name_or_id(const std::string& name, const std::string& id) {
  return name.empty() ? id : name;
}

/// An alert's id on its device. What is no device of its own speaks through the gateway.
std::string alert_id(const Model& model, const Alarm& alarm) {
  std::string kind{to_word(alarm.kind)};
  if (const auto* contact = std::get_if<ContactIndex>(&alarm.of))
    return kind + "-" + model.contacts[contact->at].id;
  if (const auto* line = std::get_if<LineIndex>(&alarm.of)) return kind + "-" + model.lines[line->at].id;
  return kind;
}

}  // namespace

std::string homie_topic(std::string_view device, std::string_view rest) {
  return std::string{kBase}.append(device).append("/").append(rest);
}

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
    add_settable(nodes, device, settable);
    return describe_device(name, std::move(nodes), rest);
  };
  const auto add_child = [&](const std::string& id, const std::string& name, Json nodes) {
    const std::string device = model.id + "-" + id;
    children_.push_back(
        {device, describe_with(device, name_or_id(name, id), std::move(nodes), {{"root", model.id}})});
  };
  for (const auto& tank : model.tanks)
    add_child(tank.id, tank.name, describe_all(node_of(tank)));
  for (const auto& pump : model.pumps)
    add_child(pump.id, pump.name, describe_all(pump_node()));
  Json ids = Json::array();
  for (const auto& child : children_)
    ids.push_back(child.device);
  description_ = describe_with(model.id, name_or_id(model.name, model.id), gateway_nodes(model),
                               {{"children", std::move(ids)}});
}

const std::string& Homie::device_of(const Alarm& alarm) const {
  if (const auto* tank = std::get_if<TankIndex>(&alarm.of)) return children_[tank->at].device;
  const auto* pump = std::get_if<PumpIndex>(&alarm.of);
  return pump == nullptr ? model_.id : children_[model_.tanks.size() + pump->at].device;
}

std::vector<Message> Homie::values(const View& view, const GatewayView& gateway) const {
  std::vector<Message> messages;
  for (std::size_t i = 0; i < model_.tanks.size() && i < view.tanks.size(); ++i) {
    append_values(messages, children_[i].device, node_of(model_.tanks[i]), view.tanks[i]);
  }
  for (std::size_t i = 0; i < model_.alarms.size() && i < view.alarms.size(); ++i) {
    const auto& alarm = model_.alarms[i];
    messages.push_back({homie_topic(device_of(alarm), "$alert/" + alert_id(model_, alarm)),
                        alert_text(model_, view, i), true});
  }
  for (std::size_t i = 0; i < model_.pumps.size() && i < view.pumps.size(); ++i) {
    append_values(messages, children_[model_.tanks.size() + i].device, pump_node(), view.pumps[i]);
  }
  append_values(messages, model_.id, gateway_node(), gateway);
  append_values(messages, model_.id, alarms_node(), view);
  if (!model_.annunciators.empty()) append_values(messages, model_.id, horn_node(), view);
  return messages;
}

void Homie::append_changed(std::vector<Message>& messages, const std::vector<Message>& values) {
  for (const auto& value : values) {
    const auto [known, fresh] = published_.try_emplace(value.topic, value.payload);
    if (!fresh && known->second == value.payload) continue;
    known->second = value.payload;
    messages.push_back(value);
  }
}

std::vector<Message> Homie::announce(const View& view, const GatewayView& gateway) {
  published_.clear();
  std::vector<Message> all;
  append_changed(all, values(view, gateway));

  std::vector<Message> messages{{homie_topic(model_.id, "$state"), "init", true}};
  const auto append_device = [&](const std::string& device, const std::string& description) {
    messages.push_back({homie_topic(device, "$description"), description, true});
    for (const auto& message : all) {
      if (message.topic.starts_with(homie_topic(device, ""))) messages.push_back(message);
    }
  };
  for (const auto& child : children_) {
    messages.push_back({homie_topic(child.device, "$state"), "init", true});
    append_device(child.device, child.description);
  }
  append_device(model_.id, description_);
  for (const auto& child : children_)
    messages.push_back({homie_topic(child.device, "$state"), "ready", true});
  messages.push_back({homie_topic(model_.id, "$state"), "ready", true});
  return messages;
}

std::vector<Message> Homie::update(const View& view, const GatewayView& gateway) {
  std::vector<Message> messages;
  append_changed(messages, values(view, gateway));
  return messages;
}

std::vector<Message> Homie::farewell() const {
  std::vector<Message> messages;
  for (const auto& child : children_) {
    messages.push_back({homie_topic(child.device, "$state"), "disconnected", true});
  }
  messages.push_back({homie_topic(model_.id, "$state"), "disconnected", true});
  return messages;
}

Message Homie::will() const {
  return {homie_topic(model_.id, "$state"), "lost", true};
}

}  // namespace stillwell::report
