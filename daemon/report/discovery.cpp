#include "stillwell/report/discovery.hpp"

#include "stillwell/report/homie_topics.hpp"
#include "stillwell/report/properties.hpp"
#include "stillwell/site/words.hpp"

#include <algorithm>
#include <utility>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Body = nlohmann::ordered_json;

/// A value that passes leaves an empty topic, which a hub would overlook; this word is its "unknown".
constexpr const char* kUnknownWhenEmpty = "{{ value if value else 'None' }}";
/// No other state of the convention than `ready` promises that the values are looked after.
constexpr const char* kReady = "{{ 'online' if value == 'ready' else 'offline' }}";
constexpr const char* kNotBad = "{{ 'offline' if value == 'bad' else 'online' }}";
/// A device as a hub is to see it.
struct Face {
  std::string id;      ///< "orchard_header"
  std::string device;  ///< "orchard-header", of the Homie convention
  Body about;
  std::string quality{};  ///< the topic that says whether its level is bad; empty: it has none
};

/// What a hub makes of a value or a command.
struct Entity {
  std::string key;   ///< "water-level": unique on its device, and the same for ever
  std::string kind;  ///< "sensor"
  Body body;
};

/// What is put aside by a person or by design calls nobody.
std::string calls() {
  std::string quiet;
  for (int i = 0; i <= static_cast<int>(AlarmState::out_of_service); ++i) {
    const auto state = static_cast<AlarmState>(i);
    if (state == AlarmState::normal || is_aside(state))
      quiet += (quiet.empty() ? "'" : ", '") + std::string{to_word(state)} + "'";
  }
  return "{{ 'OFF' if value in [" + quiet + "] else 'ON' }}";
}

std::string print(const Body& json) {
  return json.dump(-1, ' ', false, Body::error_handler_t::replace);
}

/// "water-level".
std::string key_of(std::string_view node, std::string_view property) {
  return std::string{node}.append("-").append(property);
}

Body list_of(std::string_view words) {
  Body list = Body::array();
  for (std::size_t begin = 0; begin <= words.size();) {
    const std::size_t end = std::min(words.find(',', begin), words.size());
    list.push_back(words.substr(begin, end - begin));
    begin = end + 1;
  }
  return list;
}

Body ready_of(std::string_view device) {
  return {{"topic", homie_topic(device, "$state")}, {"value_template", kReady}};
}

/// Of what is worth nothing while its device is lost.
Body availability_of(const Face& face, const std::string& root) {
  Body all = Body::array({ready_of(root)});
  if (face.device != root) all.push_back(ready_of(face.device));
  if (!face.quality.empty()) all.push_back({{"topic", face.quality}, {"value_template", kNotBad}});
  return all;
}

template <class Source>
void describe_value(Entity& entity, const Property<Source>& row) {
  const Presentation& how = row.presentation;
  Body& body = entity.body;
  if (!how.device_class.empty()) body["device_class"] = how.device_class;
  if (!how.state_class.empty()) body["state_class"] = how.state_class;
  if (!row.unit.empty()) body["unit_of_measurement"] = row.unit;
  if (how.decimals >= 0) body["suggested_display_precision"] = how.decimals;
  if (how.diagnostic) body["entity_category"] = "diagnostic";
  if (row.passing) body["value_template"] = kUnknownWhenEmpty;
  if (row.datatype == Datatype::enumeration) {
    body["device_class"] = "enum";
    body["options"] = list_of(row.format);
  }
  if (row.datatype == Datatype::boolean) {
    entity.kind = "binary_sensor";
    body["payload_on"] = "true";
    body["payload_off"] = "false";
  }
}

template <class Source>
void add_values(std::vector<Entity>& entities, const Face& face, const std::string& root,
                const Node<Source>& node) {
  for (const auto& row : node.properties) {
    Entity entity{key_of(node.id, row.id), "sensor", {{"name", row.name}}};
    entity.body["state_topic"] = homie_topic(face.device, node.id, row.id);
    describe_value(entity, row);
    if (row.presentation.measured) {
      entity.body["availability_mode"] = "all";
      entity.body["availability"] = availability_of(face, root);
    }
    entities.push_back(std::move(entity));
  }
}

/// Every alarm that has a state is a problem or is none.
void add_alarms_of(std::vector<Entity>& entities, const Face& face, const Model& model) {
  for (const Alarm& alarm : model.alarms) {
    if (device_of(model, alarm) != face.device) continue;
    const std::string property = alarm_property(model, alarm);
    entities.push_back({key_of(kAlarmNode, property),
                        "binary_sensor",
                        {{"name", property + " alarm"},
                         {"state_topic", homie_topic(face.device, kAlarmNode, property)},
                         {"device_class", "problem"},
                         {"value_template", calls()}}});
  }
}

/// Commands are never to be retained: they would come again at each connect.
Entity button(std::string key, std::string name, const std::string& topic, std::string_view payload) {
  return {std::move(key),
          "button",
          {{"name", std::move(name)},
           {"command_topic", topic},
           {"payload_press", payload},
           {"retain", false},
           {"entity_category", "config"}}};
}

/// A value that may be set becomes a choice where it stands; what is only pressed, a button.
void add_commands(std::vector<Entity>& entities, const Face& face, const Model& model,
                  const std::vector<CommandTopic>& settable) {
  for (const CommandTopic& topic : settable) {
    if (topic.device != face.device) continue;
    const CommandRow& row = *topic.row;
    const std::string key = key_of(row.node, row.property);
    const auto value = std::ranges::find(entities, key, &Entity::key);
    if (value != entities.end()) {
      value->kind = "select";
      value->body.erase("device_class");
      value->body["command_topic"] = topic.topic;
      value->body["retain"] = false;
      continue;
    }
    if (row.form == PayloadForm::yes)
      entities.push_back(button(key, std::string{row.name}, topic.topic, "true"));
    if (row.form == PayloadForm::alarm_or_all)
      entities.push_back(button(key, "Acknowledge all alarms", topic.topic, "all"));
    if (row.kind != CommandKind::reset || row.form != PayloadForm::alarm) continue;
    for (const Alarm& alarm : model.alarms) {
      if (!alarm.latch) continue;
      const std::string own = device_of(model, alarm) + "-" + alarm_property(model, alarm);
      entities.push_back(button(key_of(key, own), "Reset " + alarm.id, topic.topic, alarm.id));
    }
  }
}

/// What the documents of a device share, and each document of an entity has.
Body shared(const Face& face, const std::string& root, std::string_view version) {
  return {{"device", face.about},
          {"origin", {{"name", "stillwell"}, {"sw_version", version}}},
          {"availability_mode", "all"},
          {"availability", Body::array({ready_of(root)})},
          {"qos", 1}};
}

Document one_of_device(const Face& face, const std::vector<Entity>& entities, Body body,
                       const std::string& prefix) {
  Document document{prefix + "/device/" + face.id + "/config", {}, {}};
  Body& components = body["components"] = Body::object();
  for (const Entity& entity : entities) {
    Body& component =
        components[entity.key] = {{"platform", entity.kind}, {"unique_id", face.id + "_" + entity.key}};
    component.update(entity.body);
    document.parts.emplace(entity.key, entity.kind);
  }
  document.payload = print(body);
  return document;
}

Document one_of_entity(const Face& face, const Entity& entity, Body body, const std::string& prefix,
                       const std::string& root) {
  const std::string asset = face.id == root ? "" : face.id.substr(root.size() + 1) + "_";
  body["unique_id"] = face.id + "_" + entity.key;
  body.update(entity.body);
  return {prefix + "/" + entity.kind + "/" + root + "/" + asset + entity.key + "/config", print(body), {}};
}

Face child_face(const Model& model, const std::string& id, const std::string& name, std::string device) {
  return {.id = model.id + "_" + id,
          .device = std::move(device),
          .about = {{"identifiers", Body::array({model.id + "_" + id})},
                    {"name", name_of(name, id)},
                    {"via_device", model.id}}};
}

/// The last levels of a topic before "config": "device", "orchard_header" or "orchard", "header_water-level".
std::pair<std::string, std::string> place_in(const std::string& topic) {
  const auto end = topic.rfind('/');
  const auto middle = topic.rfind('/', end - 1);
  const auto begin = topic.rfind('/', middle - 1) + 1;
  return {topic.substr(begin, middle - begin), topic.substr(middle + 1, end - middle - 1)};
}

/// Whether what a document told is told by those of the other form now.
bool has_heir(const std::string& topic, const std::vector<Document>& documents) {
  const auto old = place_in(topic);
  const bool was_device = old.first == "device";
  return std::ranges::any_of(documents, [&](const Document& document) {
    const auto now = place_in(document.topic);
    if ((now.first == "device") == was_device) return false;
    if (was_device) return (now.first + "_" + now.second).starts_with(old.second + "_");
    const std::string unique = old.first + "_" + old.second;
    return std::ranges::any_of(document.parts,
                               [&](const auto& part) { return now.second + "_" + part.first == unique; });
  });
}

}  // namespace

std::vector<Document> discovery_documents(const Model& model, const config::Discovery& discovery,
                                          const std::vector<CommandTopic>& settable,
                                          std::string_view version) {
  std::vector<Document> documents;
  const auto finish = [&](const Face& face, std::vector<Entity> entities) {
    add_alarms_of(entities, face, model);
    add_commands(entities, face, model, settable);
    Body body = shared(face, model.id, version);
    if (discovery.form == config::DiscoveryForm::device) {
      documents.push_back(one_of_device(face, entities, std::move(body), discovery.prefix));
      return;
    }
    for (const Entity& entity : entities)
      documents.push_back(one_of_entity(face, entity, body, discovery.prefix, model.id));
  };

  const Face root{.id = model.id,
                  .device = model.id,
                  .about = {{"identifiers", Body::array({model.id})},
                            {"name", name_of(model.name, model.id)},
                            {"sw_version", version}}};
  std::vector<Entity> of_root;
  add_values(of_root, root, model.id, gateway_node());
  add_values(of_root, root, model.id, alarms_node());
  if (!model.annunciators.empty()) add_values(of_root, root, model.id, horn_node());
  finish(root, std::move(of_root));
  for (const Tank& tank : model.tanks) {
    Face face = child_face(model, tank.id, tank.name, device_of(model, tank));
    face.quality = homie_topic(face.device, node_of(tank).id, "quality");
    std::vector<Entity> entities;
    add_values(entities, face, model.id, node_of(tank));
    finish(face, std::move(entities));
  }
  for (const Pump& pump : model.pumps) {
    const Face face = child_face(model, pump.id, pump.name, device_of(model, pump));
    std::vector<Entity> entities;
    for (const auto* part : pump_nodes(model, pump))
      add_values(entities, face, model.id, *part);
    finish(face, std::move(entities));
  }
  return documents;
}

std::vector<Message> document_messages(const std::vector<Document>& documents, const Retained& gone) {
  std::vector<Message> messages;
  const auto is_document = [](const std::string& topic) { return !topic.starts_with(kHomieBase); };
  for (const auto& [topic, parts] : gone) {
    const bool hands_over = is_document(topic) && parts.empty() && has_heir(topic, documents);
    if (hands_over) messages.push_back({topic, R"({"migrate_discovery": true})", true});
  }
  for (const Document& document : documents) {
    const auto lost = gone.find(document.topic);
    if (lost == gone.end()) continue;
    Body body = Body::parse(document.payload);
    for (const auto& [key, kind] : lost->second)
      body["components"][key] = {{"platform", kind}};
    messages.push_back({document.topic, print(body), true});
  }
  for (const Document& document : documents)
    messages.push_back({document.topic, document.payload, true});
  for (const auto& [topic, parts] : gone)
    if (is_document(topic) && parts.empty()) messages.push_back({topic, "", true});
  return messages;
}

}  // namespace stillwell::report
