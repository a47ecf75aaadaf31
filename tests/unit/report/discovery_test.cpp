// The documents are held against the documented field tables of the hubs (tests/reference/15_*.csv).
#include "stillwell/report/discovery.hpp"

#include <algorithm>
#include <set>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using config::Accept;
using config::DiscoveryForm;
using nlohmann::json;

namespace {

const std::set<Accept> kAll{Accept::acknowledge, Accept::silence, Accept::shelve, Accept::reset,
                            Accept::mode};

/// The orchard with all that a site can have: a horn, floats, a latched alarm, a line that has an alarm.
Model rich_model() {
  auto model = support::orchard_with_meters();
  model.annunciators = {{.id = "yard"}};
  model.alarms[0].latch = true;
  model.tanks.push_back(model.tanks[1]);
  model.tanks.back().id = "sump";
  model.tanks.back().floats.emplace();
  return model;
}

std::vector<Document> documents_of(DiscoveryForm form, const std::set<Accept>& accepted = kAll,
                                   const Model& model = rich_model()) {
  return discovery_documents(model, {"hub", form, "hub/status"}, command_topics(model, accepted), "0.1.0");
}

const Document& at(const std::vector<Document>& documents, const std::string& topic) {
  const auto found = std::ranges::find(documents, topic, &Document::topic);
  INFO(topic);
  REQUIRE(found != documents.end());
  return *found;
}

json component(const std::string& device, const std::string& key) {
  const auto documents = documents_of(DiscoveryForm::device);
  return json::parse(at(documents, "hub/device/" + device + "/config").payload)["components"][key];
}

std::set<std::string> words_of(const std::string& text) {
  std::set<std::string> words;
  for (std::size_t begin = 0; begin < text.size();) {
    const auto end = std::min(text.find(' ', begin), text.size());
    words.insert(text.substr(begin, end - begin));
    begin = end + 1;
  }
  return words;
}

/// What the tables say of documents, and nothing that they do not name.
class Validator {
 public:
  explicit Validator(bool in_device_form) : in_device_form_{in_device_form} {}

  void check(const std::string& component, const json& entity) const {
    check_keys(component, entity);
    if (entity.contains("device_class")) check_class(component, entity);
    if (entity.contains("options"))
      CHECK(std::set<json>(entity["options"].begin(), entity["options"].end()).size() ==
            entity["options"].size());
  }
  void check_keys(const std::string& table, const json& body) const {
    for (const auto& [key, value] : body.items()) {
      INFO(table << '.' << key << ": " << value);
      const auto row = row_of(table, key);
      REQUIRE(row.has_value());
      CHECK(is_a(fields_.at(*row, "type"), value));
    }
    for (std::size_t row = 0; row < fields_.size(); ++row) {
      const bool is_entity =
          table == "sensor" || table == "binary_sensor" || table == "select" || table == "button";
      const auto& of = fields_.at(row, "component");
      if (of != table && !(is_entity && of == "any")) continue;
      INFO(table << " needs " << fields_.at(row, "key"));
      if (is_needed(fields_.at(row, "required"), body)) CHECK(body.contains(fields_.at(row, "key")));
    }
  }

 private:
  [[nodiscard]] std::optional<std::size_t> row_of(const std::string& table, const std::string& key) const {
    for (std::size_t row = 0; row < fields_.size(); ++row) {
      const auto& of = fields_.at(row, "component");
      if (fields_.at(row, "key") == key && (of == table || of == "any")) return row;
    }
    return {};
  }
  [[nodiscard]] bool is_needed(const std::string& when, const json& body) const {
    if (when == "with device_class enum") return body.value("device_class", "") == "enum";
    if (when == "in a document of a device") return in_device_form_;
    if (when == "in a document of an entity") return !in_device_form_;
    return when == "yes";
  }
  [[nodiscard]] bool is_a(const std::string& type, const json& value) const {
    if (type == "text or null") return value.is_string() || value.is_null();
    if (type == "text") return value.is_string() && value != "";
    if (type == "topic")
      return value.is_string() && value.get<std::string>().find_first_of("#+ ") == std::string::npos;
    if (type == "integer") return value.is_number_integer();
    if (type == "false") return value == false;
    if (type == "one of 0 1 2") return value.is_number_integer() && value >= 0 && value <= 2;
    if (type.starts_with("one of ")) return value.is_string() && words_of(type.substr(7)).contains(value);
    if (type == "list of texts")
      return value.is_array() && !value.empty() &&
             std::ranges::all_of(value, [](const json& one) { return one.is_string() && one != ""; });
    if (type == "device" || type == "origin") {
      check_keys(type, value);
      return true;
    }
    if (type == "availability list") {
      for (const auto& one : value)
        check_keys("availability", one);
      return value.is_array();
    }
    return type == "component" || type == "sensor class" || type == "binary class";
  }
  void check_class(const std::string& component, const json& entity) const {
    const std::string name = entity["device_class"];
    for (std::size_t row = 0; row < classes_.size(); ++row) {
      if (classes_.at(row, "component") != component || classes_.at(row, "device_class") != name) continue;
      INFO(entity.dump());
      const auto fits = [&](const char* key, const char* column) {
        const auto allowed = words_of(classes_.at(row, column));
        return entity.contains(key) ? allowed.contains(entity[key])
                                    : allowed.empty() || key == std::string{"state_class"};
      };
      CHECK(fits("unit_of_measurement", "units"));
      CHECK(fits("state_class", "state_classes"));
      return;
    }
    FAIL("no device_class of a " << component << " is called " << name);
  }

  bool in_device_form_;
  support::Csv fields_{"15_discovery_fields.csv"};
  support::Csv classes_{"15_discovery_classes.csv"};
};

/// Everything that the convention holds for these, whether it has a value just now or not.
std::set<std::string> homie_topics() {
  const auto model = rich_model();
  auto topics = Homie{model, command_topics(model, kAll)}.topics();
  for (const auto& topic : command_topics(model, kAll))
    topics.insert(topic.topic);
  return topics;
}

}  // namespace

TEST_CASE("discovery: a document of each device is what the field tables ask for", "[report][discovery]") {
  const Validator validator{true};
  std::set<std::string> unique_ids;
  std::set<std::string> identifiers;
  std::size_t entities = 0;
  for (const auto& document : documents_of(DiscoveryForm::device)) {
    INFO(document.topic);
    json body = json::parse(document.payload);
    const json components = body["components"];
    CHECK(identifiers.insert(body["device"]["identifiers"][0]).second);  // shared, a hub merges the devices
    CHECK(body["device"].contains("via_device") == (body["device"]["identifiers"][0] != "orchard"));
    validator.check_keys("device", body["device"]);
    validator.check_keys("origin", body["origin"]);
    for (const auto& [key, entity] : components.items()) {
      INFO(key);
      validator.check(entity["platform"], entity);
      CHECK(unique_ids.insert(entity["unique_id"]).second);
      CHECK(document.parts.at(key) == entity["platform"]);
      ++entities;
    }
    CHECK(document.parts.size() == components.size());
  }
  CHECK(identifiers == std::set<std::string>{"orchard", "orchard_header", "orchard_cistern", "orchard_sump",
                                             "orchard_lift", "orchard_bore"});
  CHECK(entities > 75);
}

TEST_CASE("discovery: a document of each entity says the same of each", "[report][discovery]") {
  const Validator validator{false};
  std::map<std::string, json> of_entities;
  for (const auto& document : documents_of(DiscoveryForm::entity)) {
    INFO(document.topic);
    const json body = json::parse(document.payload);
    const auto kind = document.topic.substr(4, document.topic.find('/', 4) - 4);
    CHECK(document.topic.starts_with("hub/" + kind + "/orchard/"));
    CHECK(document.topic.ends_with("/config"));
    validator.check(kind, body);
    of_entities[body["unique_id"]] = body;
  }
  for (const auto& document : documents_of(DiscoveryForm::device)) {
    const json body = json::parse(document.payload);
    for (const auto& [key, entity] : body["components"].items()) {
      json expected = entity;
      expected.erase("platform");
      for (const char* shared : {"device", "origin", "qos"})
        expected[shared] = body[shared];
      for (const char* shared : {"availability", "availability_mode"})
        if (!expected.contains(shared)) expected[shared] = body[shared];
      INFO(key);
      CHECK(of_entities[entity["unique_id"]] == expected);
    }
  }
}

TEST_CASE("discovery: documents point at topics that the convention has, and hold no value",
          "[report][discovery]") {
  const auto topics = homie_topics();
  std::size_t pointers = 0;
  const auto check_all = [&](const json& body, const auto& self) -> void {
    for (const auto& [key, value] : body.items()) {
      if (value.is_object() || value.is_array()) self(value, self);
      if (!key.ends_with("topic") || !value.is_string()) continue;
      INFO(key << ": " << value);
      CHECK(topics.contains(value));
      ++pointers;
    }
  };
  for (const auto& document : documents_of(DiscoveryForm::device))
    check_all(json::parse(document.payload), check_all);
  CHECK(pointers > 140);
}

TEST_CASE("discovery: what people look for has its class, its unit and its precision",
          "[report][discovery]") {
  const json volume = component("orchard_header", "water-volume");
  CHECK(volume["state_topic"] == "homie/5/orchard-header/water/volume");
  CHECK(volume["device_class"] == "volume_storage");
  CHECK(volume["unit_of_measurement"] == "L");
  CHECK(volume["state_class"] == "measurement");
  CHECK(component("orchard_header", "water-level")["device_class"] == "distance");
  CHECK_FALSE(component("orchard_header", "water-percent").contains("device_class"));
  CHECK(component("orchard_header", "water-quality")["entity_category"] == "diagnostic");
  CHECK(component("orchard_header", "water-quality")["options"] == json{"good", "uncertain", "bad"});
  CHECK(component("orchard_lift", "pump-run-hours")["state_class"] == "total_increasing");
  CHECK(component("orchard_lift", "pump-running")["device_class"] == "running");
  CHECK(component("orchard_lift", "pump-lock-out")["platform"] == "sensor");
  CHECK(component("orchard_sump", "water-level").is_null());  // floats do not know one
  CHECK(component("orchard_sump", "water-floats")["platform"] == "sensor");
  CHECK(component("orchard", "alarms-horn-sounding")["platform"] == "binary_sensor");
}

TEST_CASE("discovery: an alarm is a problem until it is normal or put aside", "[report][discovery]") {
  const json low = component("orchard_header", "alarm-low");
  CHECK(low["platform"] == "binary_sensor");
  CHECK(low["device_class"] == "problem");
  CHECK(low["state_topic"] == "homie/5/orchard-header/alarm/low");
  CHECK(low["value_template"] ==
        "{{ 'OFF' if value in ['normal', 'shelved', 'suppressed', 'out-of-service'] else 'ON' }}");
  CHECK_FALSE(low.contains("availability"));  // it matters most when the gauge is gone
}

TEST_CASE("discovery: what is measured is unavailable with its device, its gauge or the gateway",
          "[report][discovery]") {
  const json all = component("orchard_header", "water-level")["availability"];
  REQUIRE(all.size() == 3);
  CHECK(all[0]["topic"] == "homie/5/orchard/$state");
  CHECK(all[1]["topic"] == "homie/5/orchard-header/$state");
  CHECK(all[2]["topic"] == "homie/5/orchard-header/water/quality");
  CHECK(component("orchard_lift", "pump-running")["availability"].size() == 2);
  CHECK_FALSE(component("orchard_lift", "pump-state").contains("availability"));
}

TEST_CASE("discovery: only what is accepted can be commanded, and never by a retained message",
          "[report][discovery]") {
  for (const auto& document : documents_of(DiscoveryForm::device, {}))
    CHECK(document.payload.find("command_topic") == std::string::npos);
  const json mode = component("orchard_lift", "pump-mode");
  CHECK(mode["platform"] == "select");
  CHECK(mode["options"] == json{"auto", "hand", "off"});
  CHECK(mode["command_topic"] == "homie/5/orchard-lift/pump/mode/set");
  CHECK(component("orchard_lift", "pump-reset")["payload_press"] == "true");
  CHECK(component("orchard", "alarms-acknowledge")["payload_press"] == "all");
  const json reset = component("orchard", "alarms-reset-orchard-header-low");
  CHECK(reset["payload_press"] == "header/low");
  CHECK(reset["command_topic"] == "homie/5/orchard/alarms/reset/set");
  CHECK(component("orchard", "alarms-reset-orchard-header-high").is_null());  // it does not latch
}

TEST_CASE("discovery: what a hub was told before is taken back as it is documented", "[report][discovery]") {
  const auto model = support::orchard_model();
  const auto before = documents_of(DiscoveryForm::device, kAll, model);
  const auto now = documents_of(DiscoveryForm::device, {}, model);
  const std::string lift = "hub/device/orchard_lift/config";
  SECTION("nothing of before, nothing but the documents") {
    const auto messages = document_messages(now, {});
    REQUIRE(messages.size() == now.size());
    CHECK(messages[0] == Message{now[0].topic, now[0].payload, true});
  }
  SECTION("an entity that a device has no more comes once as nothing but its kind") {
    const auto messages = document_messages(now, {{lift, {{"pump-reset", "button"}}}});
    REQUIRE(messages.size() == now.size() + 1);
    CHECK(messages[0].topic == lift);
    const json body = json::parse(messages[0].payload)["components"];
    CHECK(body["pump-reset"] == json{{"platform", "button"}});
    CHECK(body["pump-state"].size() > 1);
    CHECK(std::ranges::count(messages, Message{lift, at(now, lift).payload, true}) == 1);
    CHECK(at(before, lift).parts.contains("pump-reset"));
    CHECK_FALSE(at(now, lift).parts.contains("pump-reset"));
  }
  SECTION("a device that is gone is deleted") {
    const auto messages = document_messages(now, {{"hub/device/orchard_pond/config", {}}});
    CHECK(messages.back() == Message{"hub/device/orchard_pond/config", "", true});
    CHECK(messages.size() == now.size() + 1);
  }
  SECTION("the other form hands over first, and goes last") {
    const std::string old = "hub/sensor/orchard/header_water-level/config";
    const auto messages = document_messages(now, {{old, {}}});
    CHECK(messages.front() == Message{old, R"({"migrate_discovery": true})", true});
    CHECK(messages.back() == Message{old, "", true});
    CHECK(messages.size() == now.size() + 2);
  }
  SECTION("but not what has no heir in the new form") {
    const std::string pond = "hub/sensor/orchard/pond_water-level/config";
    CHECK(document_messages(now, {{pond, {}}}).front().topic == now.front().topic);
    const auto entities =
        discovery_documents(model, {"hub", DiscoveryForm::entity, "hub/status"}, {}, "0.1.0");
    const auto messages = document_messages(entities, {{"hub/device/orchard_pond/config", {}}, {lift, {}}});
    CHECK(messages.front() == Message{lift, R"({"migrate_discovery": true})", true});
    CHECK(messages.size() == entities.size() + 3);
  }
  SECTION("topics of the convention are none of its business") {
    CHECK(document_messages({}, {{"homie/5/orchard-pond/$state", {}}}).empty());
  }
}
