#include "stillwell/report/homie.hpp"

#include <algorithm>
#include <chrono>
#include <limits>
#include <regex>
#include <set>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using nlohmann::json;
using support::calm_view;
using support::orchard_model;

namespace {

const GatewayView kGateway{"0.1.0", std::chrono::seconds{61}, "1f"};

std::string payload_of(const std::vector<Message>& messages, const std::string& topic) {
  const auto found =
      std::find_if(messages.begin(), messages.end(), [&](const Message& m) { return m.topic == topic; });
  return found == messages.end() ? "(not published)" : found->payload;
}

std::size_t place_of(const std::vector<Message>& messages, const std::string& topic,
                     const std::string& payload) {
  const auto found = std::find(messages.begin(), messages.end(), Message{topic, payload, true});
  REQUIRE(found != messages.end());
  return static_cast<std::size_t>(found - messages.begin());
}

std::vector<std::string> topics_of(const std::vector<Message>& messages) {
  std::vector<std::string> topics;
  topics.reserve(messages.size());
  for (const auto& message : messages)
    topics.push_back(message.topic);
  return topics;
}

bool is_id(const std::string& id) {
  static const std::regex form{"[a-z0-9]([a-z0-9-]*[a-z0-9])?"};
  return std::regex_match(id, form) && id != "set";
}

// Homie convention 5.0.0 (released 2025-05-11), "Payload" and "Formats".
bool is_legal(const std::string& payload, const json& property) {
  const std::string type = property["datatype"];
  if (type == "integer") return std::regex_match(payload, std::regex{"-?[0-9]+"});
  if (type == "float") return std::regex_match(payload, std::regex{"-?[0-9]+(\\.[0-9]+)?([eE]-?[0-9]+)?"});
  if (type == "boolean") return payload == "true" || payload == "false";
  if (type == "enum") {
    const auto list = "," + property["format"].get<std::string>() + ",";
    return list.find("," + payload + ",") != std::string::npos;
  }
  // ISO 8601, as the convention asks.
  if (type == "datetime")
    return std::regex_match(payload, std::regex{"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9:.]+Z"});
  return !payload.empty();
}

/// "Formats" of the same: a range of numbers with open ends, two labels, words without an empty one.
bool is_legal_format(const json& property) {
  const std::string type = property["datatype"];
  const std::string format = property.value("format", "");
  if (type == "enum") return std::regex_match(format, std::regex{"[^,]+(,[^,]+)*"});
  if (!property.contains("format")) return true;
  if (type == "integer" || type == "float")
    return std::regex_match(format, std::regex{"-?[0-9.]*:-?[0-9.]*"});
  return type == "boolean" && std::regex_match(format, std::regex{"[^,]+,[^,]+"});
}

/// The rules of "Device description" in the same convention.
void require_legal_description(const json& device, bool is_root) {
  REQUIRE(device["homie"] == "5.0");
  REQUIRE(device["version"].is_number_unsigned());
  REQUIRE(device["version"].get<std::uint64_t>() < (1ULL << 53));
  REQUIRE(device["name"].is_string());
  REQUIRE(device.contains("root") != is_root);
  REQUIRE(device.contains("children") == is_root);
  static const std::set<std::string> kTypes{"integer", "float", "boolean", "string", "enum", "datetime"};
  for (const auto& [node_id, node] : device["nodes"].items()) {
    REQUIRE(is_id(node_id));
    for (const auto& [id, property] : node["properties"].items()) {
      REQUIRE(is_id(id));
      REQUIRE(kTypes.contains(property["datatype"]));
      REQUIRE(is_legal_format(property));
      for (const auto& [field, value] : property.items())
        REQUIRE_FALSE(value.is_null());
    }
  }
}

}  // namespace

TEST_CASE("homie: descriptions are legal and every value fits its property", "[report][homie]") {
  const auto model = support::orchard_with_meters();
  auto view = support::busy_view(model);
  view.pumps[1].motor = MotorView{.kind = LoadKind::current, .load = MotorLoad{4.16}};
  const auto messages = Homie{model}.announce(view, kGateway);
  std::size_t values = 0;
  for (const std::string device :
       {"orchard", "orchard-header", "orchard-cistern", "orchard-lift", "orchard-bore"}) {
    INFO(device);
    const auto description = json::parse(payload_of(messages, "homie/5/" + device + "/$description"));
    require_legal_description(description, device == "orchard");
    for (const auto& [node_id, node] : description["nodes"].items()) {
      for (const auto& [id, property] : node["properties"].items()) {
        const auto topic =
            std::string{"homie/5/"}.append(device).append("/").append(node_id).append("/").append(id);
        const auto payload = payload_of(messages, topic);
        INFO(id << " = " << payload);
        CHECK(is_legal(payload, property));
        ++values;
      }
    }
  }
  CHECK(values == 3 + 6 + 4 + 2 * 15 + (10 + 2 + 2) + (10 + 2 + 1));
}

TEST_CASE("homie: the root names its children, and each child its root", "[report][homie]") {
  const auto model = orchard_model();
  const auto messages = Homie{model}.announce(calm_view(model), kGateway);
  const auto root = json::parse(payload_of(messages, "homie/5/orchard/$description"));
  CHECK(root["children"] == json{"orchard-header", "orchard-cistern", "orchard-lift", "orchard-bore"});
  for (const std::string child : root["children"]) {
    CHECK(json::parse(payload_of(messages, "homie/5/" + child + "/$description"))["root"] == "orchard");
  }
}

TEST_CASE("homie: the announcement comes in the order of the convention", "[report][homie]") {
  const auto model = orchard_model();
  const auto all = Homie{model}.announce(calm_view(model), kGateway);
  const auto at = [&](const std::string& topic, const std::string& payload) {
    return place_of(all, "homie/5/" + topic, payload);
  };
  const auto described = [&](const std::string& device) {
    return at(device + "/$description", payload_of(all, "homie/5/" + device + "/$description"));
  };
  CHECK(at("orchard/$state", "init") == 0);
  CHECK(at("orchard/$state", "ready") == all.size() - 1);
  for (const std::string child : {"orchard-header", "orchard-cistern"}) {
    CHECK(at(child + "/$state", "init") < described(child));
    CHECK(described(child) < at(child + "/water/quality", "good"));
    CHECK(at(child + "/water/quality", "good") < described("orchard"));
    CHECK(described("orchard") < at(child + "/$state", "ready"));
  }
  CHECK(described("orchard") < at("orchard/gateway/version", "0.1.0"));
  CHECK(at("orchard/gateway/version", "0.1.0") < at("orchard-header/$state", "ready"));
  CHECK(std::all_of(all.begin(), all.end(), [](const Message& m) { return m.retained; }));
}

TEST_CASE("homie: values are rounded and carry the words of the trade", "[report][homie]") {
  const auto model = orchard_model();
  auto view = calm_view(model);
  view.pumps[0].state = PumpState::tripped;
  view.pumps[0].held_by = {Cause::source_low, Cause::rest};
  view.pumps[0].first_out = Cause::source_low;
  const auto all = Homie{model}.announce(view, kGateway);
  CHECK(payload_of(all, "homie/5/orchard-header/water/level") == "1.742");
  CHECK(payload_of(all, "homie/5/orchard-header/water/percent") == "71.1");  // 1.742 of 2.45 m
  CHECK(payload_of(all, "homie/5/orchard-header/water/volume") == "8710");   // times 5 m2
  CHECK(payload_of(all, "homie/5/orchard-header/water/usable") == "8210");   // less 0.1 m below the outlet
  CHECK(payload_of(all, "homie/5/orchard-header/water/ullage") == "3540");
  CHECK(payload_of(all, "homie/5/orchard-header/water/reason") == "none");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/state") == "tripped");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/held-by") == "source-low,rest");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/first-out") == "source-low");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/run-hours") == "12.40");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/starts") == "37");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/running") == "false");
  CHECK(payload_of(all, "homie/5/orchard-bore/pump/first-out") == "none");
  CHECK(payload_of(all, "homie/5/orchard/gateway/uptime") == "60");
}

TEST_CASE("homie: the accounts are told in the units of people, without digits that are noise",
          "[report][homie][accounts]") {
  const auto model = support::orchard_with_meters();
  const auto all = Homie{model}.announce(support::busy_view(model), kGateway);
  const auto header = [&](const std::string& id) {
    return payload_of(all, "homie/5/orchard-header/water/" + id);
  };
  CHECK(header("rate") == "3");              // 3.4 ± 0.4 mm/min
  CHECK(header("flow") == "20");             // 17 ± 2 L/min
  CHECK(header("time-to-full") == "10800");  // 208 min, give or take 25: three hours
  CHECK(header("time-to-empty") == "3000");
  CHECK(header("inflow-today") == "612");
  CHECK(header("draw-today") == "200");
  CHECK(header("days-left") == "12.3");
  CHECK(header("night-flow") == "2.5");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/volume-moved") == "123457");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/wear") == "93");
}

TEST_CASE("homie: what a motor takes is told in its unit, and taken back when nobody can read it",
          "[report][homie][meter]") {
  const auto model = support::orchard_with_meters();
  auto view = support::busy_view(model);
  view.pumps[1].motor = MotorView{.kind = LoadKind::current, .load = MotorLoad{4.16}};
  Homie homie{model};
  const auto all = homie.announce(view, kGateway);
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/power") == "821");
  CHECK(payload_of(all, "homie/5/orchard-lift/pump/energy") == "41.23");
  CHECK(payload_of(all, "homie/5/orchard-bore/pump/current") == "4.2");
  view.pumps[0].motor->load.reset();
  const auto gone = homie.update(view, kGateway);
  CHECK(gone == std::vector<Message>{{"homie/5/orchard-lift/pump/power", "", true}});
}

TEST_CASE("homie: a pump without a nameplate and without a meter has no property of either",
          "[report][homie][meter]") {
  const auto properties = [](const Model& model, const std::string& pump) {
    const auto messages = Homie{model}.announce(support::busy_view(model), kGateway);
    const auto description = json::parse(payload_of(messages, "homie/5/orchard-" + pump + "/$description"));
    std::set<std::string> ids;
    for (const auto& [id, property] : description["nodes"]["pump"]["properties"].items())
      if (std::set<std::string>{"volume-moved", "wear", "power", "current", "energy"}.contains(id))
        ids.insert(id);
    return ids;
  };
  CHECK(properties(orchard_model(), "lift").empty());
  CHECK(properties(support::orchard_with_meters(), "lift") ==
        std::set<std::string>{"volume-moved", "wear", "power", "energy"});
  CHECK(properties(support::orchard_with_meters(), "bore") ==
        std::set<std::string>{"volume-moved", "wear", "current"});
}

TEST_CASE("homie: a rate that stands still is zero, and one that nobody knows is taken back",
          "[report][homie][accounts]") {
  const auto model = orchard_model();
  auto view = support::busy_view(model);
  Homie homie{model};
  homie.announce(view, kGateway);
  view.tanks[0].figures.rate->low = MetresPerSecond{-1e-6};  // the interval holds zero
  view.tanks[0].figures.to_full.reset();
  const auto still = homie.update(view, kGateway);
  CHECK(still == std::vector<Message>{{"homie/5/orchard-header/water/rate", "0", true},
                                      {"homie/5/orchard-header/water/time-to-full", "", true}});
  view.tanks[0].figures = {};
  const auto gone = homie.update(view, kGateway);
  CHECK(payload_of(gone, "homie/5/orchard-header/water/rate").empty());
  CHECK(payload_of(gone, "homie/5/orchard-header/water/inflow-today").empty());
  // The least flow of a night stays what it was.
  CHECK(payload_of(gone, "homie/5/orchard-header/water/night-flow") == "(not published)");
}

TEST_CASE("homie: only what changed is published again", "[report][homie]") {
  const auto model = orchard_model();
  auto view = calm_view(model);
  Homie homie{model};
  homie.announce(view, kGateway);
  CHECK(homie.update(view, kGateway).empty());

  SECTION("noise below the last decimal is nobody's news") {
    view.tanks[0] = support::tank_at(model.tanks[0], Metres{1.74201});
    CHECK(homie.update(view, kGateway).empty());
  }
  SECTION("a new level changes what depends on it, once") {
    view.tanks[0] = support::tank_at(model.tanks[0], Metres{1.80});
    const auto messages = homie.update(view, kGateway);
    CHECK(messages.size() == 5);  // level, percent, volume, usable, ullage
    CHECK(payload_of(messages, "homie/5/orchard-header/water/level") == "1.800");
    CHECK(homie.update(view, kGateway).empty());
  }
  SECTION("the uptime comes every half minute, so that a dead connection is noticed") {
    CHECK(homie.update(view, {"0.1.0", std::chrono::seconds{89}, "1f"}).empty());
    const auto messages = homie.update(view, {"0.1.0", std::chrono::seconds{90}, "1f"});
    CHECK(messages == std::vector<Message>{{"homie/5/orchard/gateway/uptime", "90", true}});
  }
  SECTION("after an announcement everything is said again") {
    CHECK(homie.announce(view, kGateway).size() > 30);
  }
}

TEST_CASE("homie: a bad level keeps the last value and says what is wrong", "[report][homie]") {
  const auto model = orchard_model();
  auto view = calm_view(model);
  Homie homie{model};
  homie.announce(view, kGateway);
  view.tanks[0] = support::tank_gone(view.tanks[0], Reason::no_answer);
  CHECK(homie.update(view, kGateway) ==
        std::vector<Message>{{"homie/5/orchard-header/water/quality", "bad", true},
                             {"homie/5/orchard-header/water/reason", "no-answer", true},
                             {"homie/5/orchard-header/$state", "lost", true}});

  SECTION("and a level that was never known is not invented") {
    Homie fresh{model};
    const auto topics = topics_of(fresh.announce(view, kGateway));
    CHECK(std::count(topics.begin(), topics.end(), "homie/5/orchard-header/water/level") == 0);
    CHECK(std::count(topics.begin(), topics.end(), "homie/5/orchard-header/water/quality") == 1);
  }
}

TEST_CASE("homie: no NaN is ever published", "[report][homie]") {
  const auto model = orchard_model();
  auto view = calm_view(model);
  view.tanks[0].contents->level = Metres{std::numeric_limits<double>::quiet_NaN()};
  view.tanks[0].contents->percent = Percent{std::numeric_limits<double>::infinity()};
  for (const auto& message : Homie{model}.announce(view, kGateway)) {
    CHECK(message.topic != "homie/5/orchard-header/water/level");
    CHECK(message.topic != "homie/5/orchard-header/water/percent");
  }
}

TEST_CASE("homie: an alarm is an alert on its tank until it is normal again", "[report][homie]") {
  const auto model = orchard_model();
  auto view = calm_view(model);
  Homie homie{model};
  const auto topic = std::string{"homie/5/orchard-header/$alert/low"};
  CHECK(
      payload_of(homie.announce(view, kGateway), topic).empty());  // a stale one of an earlier run is deleted

  view.alarms[0].state = AlarmState::unacknowledged;
  const auto risen = homie.update(view, kGateway);
  REQUIRE(risen.size() == 2);
  CHECK(payload_of(risen, topic) ==
        "Header tank: low alarm, the tank runs low, below 0.370 m (15.1 %). Save water and look at the "
        "supply. Priority medium, unacknowledged.");
  view.alarms[0].state = AlarmState::acknowledged;
  CHECK(payload_of(homie.update(view, kGateway), topic).find("acknowledged") != std::string::npos);
  view.alarms[0].state = AlarmState::normal;
  CHECK(homie.update(view, kGateway) ==
        std::vector<Message>{{"homie/5/orchard-header/alarm/low", "normal", true}, {topic, "", true}});
}

TEST_CASE("homie: an alarm's state is a property of what it is about", "[report][homie]") {
  auto model = orchard_model();
  model.alarms.push_back({.id = "shed/line-down", .of = LineIndex{0}, .kind = AlarmKind::line_down});
  auto view = calm_view(model);
  view.alarms.resize(model.alarms.size());
  view.alarms[1].state = AlarmState::latched_unacknowledged;
  const auto all = Homie{model}.announce(view, kGateway);
  CHECK(payload_of(all, "homie/5/orchard-header/alarm/high") == "latched-unacknowledged");
  CHECK(payload_of(all, "homie/5/orchard-cistern/alarm/unwell") == "normal");
  CHECK(payload_of(all, "homie/5/orchard/alarm/line-down-shed") == "normal");
  const auto property = json::parse(
      payload_of(all, "homie/5/orchard-header/$description"))["nodes"]["alarm"]["properties"]["low"];
  CHECK(property["datatype"] == "enum");
  CHECK(property["format"] ==
        "normal,unacknowledged,acknowledged,returned-unacknowledged,latched-unacknowledged,"
        "latched-acknowledged,shelved,suppressed,out-of-service");
}

TEST_CASE("homie: a device of which nothing is heard is lost until it is heard again", "[report][homie]") {
  const auto model = orchard_model();
  auto view = calm_view(model);
  Homie homie{model};
  homie.announce(view, kGateway);
  const auto calm = view;
  view.tanks[0] = support::tank_gone(view.tanks[0], Reason::no_answer);
  view.pumps[1].held_by = {Cause::contact_unreachable};
  const auto lost = homie.update(view, kGateway);
  CHECK(payload_of(lost, "homie/5/orchard-header/$state") == "lost");
  CHECK(payload_of(lost, "homie/5/orchard-bore/$state") == "lost");
  CHECK(payload_of(lost, "homie/5/orchard-cistern/$state") == "(not published)");
  const auto again = homie.announce(view, kGateway);
  CHECK(place_of(again, "homie/5/orchard-header/$state", "init") <
        place_of(again, "homie/5/orchard-header/$state", "lost"));
  CHECK(again.back() == Message{"homie/5/orchard/$state", "ready", true});
  CHECK(payload_of(homie.update(calm, kGateway), "homie/5/orchard-header/$state") == "ready");
  SECTION("a gauge that answers nonsense is still there") {
    view.tanks[0] = support::tank_gone(calm.tanks[0], Reason::jump);
    homie.announce(view, kGateway);
    CHECK(payload_of(homie.update(calm, kGateway), "homie/5/orchard-header/$state") == "(not published)");
  }
}

TEST_CASE("homie: what is gone is deleted in the order of the convention", "[report][homie]") {
  const auto model = orchard_model();
  const std::string old_value = "homie/5/orchard-header/water/colour";
  const auto all = Homie{model}.announce(calm_view(model), kGateway,
                                         {old_value, "homie/5/orchard-pond/$description",
                                          "homie/5/orchard-pond/$state", "homie/5/orchard-pond/alarm/low"});
  const auto at = [&](const std::string& topic) { return place_of(all, topic, ""); };
  // "Device life cycle": of a device that stays, between `init` and its new description.
  CHECK(place_of(all, "homie/5/orchard-header/$state", "init") < at(old_value));
  CHECK(at(old_value) < place_of(all, "homie/5/orchard-header/$description",
                                 payload_of(all, "homie/5/orchard-header/$description")));
  // Of a device that is removed, after its root is `ready` without it, and its state first.
  CHECK(place_of(all, "homie/5/orchard/$state", "ready") < at("homie/5/orchard-pond/$state"));
  CHECK(at("homie/5/orchard-pond/$state") < at("homie/5/orchard-pond/$description"));
  CHECK(at("homie/5/orchard-pond/$state") < at("homie/5/orchard-pond/alarm/low"));
  CHECK(std::ranges::count(all, std::string{}, &Message::payload) ==
        std::ranges::count(Homie{model}.announce(calm_view(model), kGateway), std::string{},
                           &Message::payload) +
            4);
}

TEST_CASE("homie: everything that is published retained is known as such", "[report][homie]") {
  auto model = orchard_model();
  model.annunciators = {{.id = "yard"}};
  auto view = support::busy_view(model);
  view.annunciators.resize(1);
  const Homie homie{model};
  const auto topics = homie.topics();
  for (const auto& message : Homie{model}.announce(view, kGateway)) {
    INFO(message.topic);
    CHECK(topics.contains(message.topic));
  }
  CHECK(topics.contains(homie.will().topic));
}

TEST_CASE("homie: the figures of the alarms are a node of the gateway", "[report][homie][figures]") {
  const auto model = orchard_model();
  auto view = calm_view(model);
  Homie homie{model};
  const auto calm = homie.announce(view, kGateway);
  const auto figure = [](const std::vector<Message>& messages, const std::string& id) {
    return payload_of(messages, "homie/5/orchard/alarms/" + id);
  };
  for (const char* id : {"standing", "last-day", "last-ten-minutes"})
    CHECK(figure(calm, id) == "0");
  CHECK(figure(calm, "longest-standing") == "none");
  CHECK(figure(calm, "most-frequent") == "none");
  CHECK(figure(calm, "flood") == "false");
  view.alarm_figures = {.last_day = 145,
                        .last_ten_minutes = 12,
                        .standing = 2,
                        .longest_standing = LongestStanding{"header/low", support::kSomeInstant},
                        .most_frequent = MostFrequent{"cistern/low", 90},
                        .flood = true};
  const auto flood = homie.update(view, kGateway);
  CHECK(flood.size() == 6);
  CHECK(figure(flood, "standing") == "2");
  CHECK(figure(flood, "last-day") == "145");
  CHECK(figure(flood, "last-ten-minutes") == "12");
  CHECK(figure(flood, "longest-standing") == "header/low");
  CHECK(figure(flood, "most-frequent") == "cistern/low");
  CHECK(figure(flood, "flood") == "true");
}

TEST_CASE("homie: an alarm that is put aside is no alert", "[report][homie]") {
  const auto model = orchard_model();
  auto view = calm_view(model);
  view.alarms[0].state = AlarmState::unacknowledged;
  Homie homie{model};
  homie.announce(view, kGateway);
  view.alarms[0].state = AlarmState::shelved;
  view.alarms[0].shelf = Shelf{support::kSomeInstant, "cleaning"};
  CHECK(homie.update(view, kGateway) ==
        std::vector<Message>{{"homie/5/orchard-header/alarm/low", "shelved", true},
                             {"homie/5/orchard-header/$alert/low", "", true}});
}

TEST_CASE("homie: farewell and will say the states of the convention", "[report][homie]") {
  const auto model = orchard_model();
  const Homie homie{model};
  CHECK(homie.will() == Message{"homie/5/orchard/$state", "lost", true});
  const auto farewell = homie.farewell();
  CHECK(farewell.size() == 5);
  CHECK(farewell.back() == Message{"homie/5/orchard/$state", "disconnected", true});
  CHECK(farewell.front() == Message{"homie/5/orchard-header/$state", "disconnected", true});
}

TEST_CASE("homie: the version is the same for the same devices and another for others", "[report][homie]") {
  const auto version_of = [](const Model& model) {
    const auto all = Homie{model}.announce(calm_view(model), kGateway);
    return json::parse(payload_of(all, "homie/5/orchard-header/$description"))["version"]
        .get<std::uint64_t>();
  };
  auto model = orchard_model();
  const auto before = version_of(model);
  CHECK(version_of(model) == before);
  model.tanks[0].name = "Upper tank";
  CHECK(version_of(model) != before);
  // FNV-1a, 64 bits, of "foobar" is 0x85944171f73967e8 (draft-eastlake-fnv, test vectors).
  CHECK(description_version("foobar") ==
        ((0x85944171f73967e8ULL >> 53) ^ (0x85944171f73967e8ULL & 0x1FFFFFFFFFFFFFULL)));
}

TEST_CASE("homie: whether a horn sounds is a property of the gateway, where there is one",
          "[report][homie][horn]") {
  const std::string topic = "homie/5/orchard/alarms/horn-sounding";
  auto model = orchard_model();
  auto view = calm_view(model);
  CHECK(payload_of(Homie{model}.announce(view, kGateway), topic) == "(not published)");
  model.annunciators = {{.id = "yard"}, {.id = "gate"}};
  view.annunciators.resize(2);
  Homie homie{model};
  const auto all = homie.announce(view, kGateway);
  CHECK(payload_of(all, topic) == "false");
  const auto nodes = json::parse(payload_of(all, "homie/5/orchard/$description"))["nodes"];
  CHECK(nodes["alarms"]["properties"]["horn-sounding"]["datatype"] == "boolean");
  CHECK(nodes.contains("gateway"));
  view.annunciators[1].order = Order::on;
  const auto changed = homie.update(view, kGateway);
  CHECK(changed == std::vector<Message>{{topic, "true", true}});
}
